// The report page in a real browser. usage: node report.cjs DUCTLEDGER EXAMPLES-FOLDER
"use strict";
const { chromium } = require("playwright-core");
const { execFileSync } = require("node:child_process");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");

const [program, examples] = process.argv.slice(2);
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "ductledger-browser-"));
let failures = 0;
let checks = 0;
function expect(holds, what) {
  checks += 1;
  if (!holds) {
    failures += 1;
    console.log("FAILED " + what);
  }
}

function report(name, args) {
  const file = path.join(folder, name);
  try {
    execFileSync(program, ["report", ...args, "--fail-on", "never", "-o", file]);
  } catch (error) {
    throw new Error(name + ": " + error.stderr);
  }
  return file;
}

const hostile = path.join(folder, "hostile.yaml");
fs.writeFileSync(
  hostile,
  fs
    .readFileSync(path.join(examples, "gable-kitchen-up-through-roof.yaml"), "utf8")
    .replace(/^title:.*$/m, "title: '</script><script>window.broken=1</script>\"<img src=x onerror=window.broken=2>'"),
);
const schematic = path.join(folder, "schematic.yaml");
fs.writeFileSync(
  schematic,
  fs
    .readFileSync(path.join(examples, "basement-dryer-run.yaml"), "utf8")
    .replace(/^ {2}heading:.*$/m, "")
    .replace(/turn: \w+/g, "angle: 90 deg"),
);
const layouts = fs
  .readdirSync(examples)
  .filter((name) => name.endsWith(".yaml"))
  .sort()
  .map((name) => path.join(examples, name));
const pages = layouts.map((file) => report(path.basename(file, ".yaml") + ".html", [file]));
pages.push(report("all-si.html", [...layouts, "--units", "si"]));
pages.push(report("schematic.html", [schematic]));
pages.push(report("reviewed.html", [path.join(examples, "duplex-hood-as-submitted.yaml"), "--review", "--rules", "irc-2021"]));
pages.push(report("side-by-side.html", ["gable-kitchen-up-through-roof.yaml", "terrace-soffit-sideways.yaml"].map((name) => path.join(examples, name))));
const hostilePage = report("hostile.html", [hostile]);
pages.push(hostilePage);

// What a shown text says, in SI; half of its last digit is what rounding may take.
const kUnits = {
  cfm: 0.00047194745, "L/s": 0.001, "m3/h": 1 / 3600, inH2O: 249.08891, Pa: 1, fpm: 0.00508, "m/s": 1,
  "lb/ft3": 16.018463, "kg/m3": 1, "%": 0.01, ft: 0.3048, in: 0.0254, m: 1, mm: 0.001, "": 1,
  degF: null, degC: null, deg: Math.PI / 180, "ft2": 0.09290304, "in2": 0.00064516, "m2": 1, "cm2": 1e-4, lb: 0.45359237, kg: 1,
};
function agrees(text, value, label) {
  const feet = /^(-?)(?:(\d+) ft ?)?(?:(\d+)? ?-?(?:(\d+)\/(\d+))? in)?$/.exec(text);
  if (feet && / (ft|in)/.test(text)) {
    const inches = 12 * Number(feet[2] || 0) + Number(feet[3] || 0) + (feet[4] ? Number(feet[4]) / Number(feet[5]) : 0);
    const last = Number(feet[2] || 0) >= 100 && !/ in/.test(text) ? 12 : 1 / 8;  // long ones in whole feet
    return Math.abs((feet[1] ? -1 : 1) * inches * 0.0254 - value) <= 0.0254 * last / 2 + 1e-9;
  }
  const plain = /^(-?\d+(?:\.\d+)?(?:e-?\d+)?)(?: (\S+))?$/.exec(text);
  if (!plain) return false;
  const unit = plain[2] || label;
  if (!(unit in kUnits) || kUnits[unit] === null) return true;
  const decimals = (plain[1].split("e")[0].split(".")[1] || "").length;
  const half = plain[1].includes("e") ? Math.abs(value) : 0.5 * 10 ** -decimals;
  return Math.abs(Number(plain[1]) - value / kUnits[unit]) <= half * 1.0001 + 1e-9;
}

/** In the page: how wide it is, what reaches beyond the screen, which labels reach out of their picture. */
function edges() {
  const out = [...document.querySelectorAll("body *:not(script):not(style)")]
    .filter((e) => !e.closest("svg, thead, .skip") && e.getClientRects().length)
    .filter((e) => e.getBoundingClientRect().right > innerWidth + 0.5)
    .map((e) => e.tagName + " " + e.textContent.slice(0, 40));
  const cut = [...document.querySelectorAll("figure svg")].filter((s) => s.getClientRects().length).flatMap((svg) => {
    const frame = svg.getBoundingClientRect();
    return [...svg.querySelectorAll("text")].filter((t) => {
      const r = t.getBoundingClientRect();
      return r.left < frame.left - 1 || r.right > frame.right + 1 || r.top < frame.top - 1 || r.bottom > frame.bottom + 1;
    }).map((t) => svg.getAttribute("aria-labelledby") + ": " + t.textContent);
  });
  return { wide: document.documentElement.scrollWidth, out, cut };
}

(async () => {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
           "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  const said = [];
  async function open(file, options) {
    const context = await browser.newContext({ offline: true, ...options });
    const page = await context.newPage();
    const name = path.basename(file);
    page.on("console", (message) => said.push(name + ": " + message.text()));
    page.on("pageerror", (error) => said.push(name + ": " + error.message));
    page.on("request", (request) => {
      if (!request.url().startsWith("file://" + file)) said.push(name + " asks for " + request.url());
    });
    await page.goto("file://" + file);
    return page;
  }

  for (const file of pages) {
    const name = path.basename(file);
    // Narrow and wide, with and without script: nothing scrolls sideways, pictures are shown.
    for (const javaScriptEnabled of [true, false]) {
      const page = await open(file, { viewport: { width: 1280, height: 800 }, javaScriptEnabled });
      for (const width of [1280, 390, 320]) {
        await page.setViewportSize({ width, height: 800 });
        // Without script the page itself cannot be asked; the locator still can.
        const box = await page.locator("body").boundingBox();
        expect(box.width <= width, `${name} ${width}: body is ${box.width} px wide`);
        if (javaScriptEnabled) {
          const { wide, out, cut } = await page.evaluate(edges);
          expect(wide <= width, `${name} ${width}: scrolls sideways, ${wide} px`);
          expect(out.length === 0, `${name} ${width}: beyond the edge: ${out.slice(0, 3)}`);
          expect(cut.length === 0, `${name} ${width}: cut labels ${cut}`);
        }
        const pictures = await page.locator("figure svg:visible").count();
        const figures = await page.locator("figure").count();
        expect(pictures === figures && figures > 0, `${name} ${width}: ${pictures} of ${figures} pictures shown`);
      }
      await page.context().close();
    }
    // The figures are the document's.
    {
      const page = await open(file, { viewport: { width: 1280, height: 800 } });
      const figures = await page.evaluate(() => {
        const document_ = JSON.parse(document.getElementById("result").textContent);
        return [...document.querySelectorAll("data")].map((e) => {
          const value = e.dataset.at.split("/").slice(1).reduce((at, key) => at[key], document_);
          const cell = e.closest("td,th");
          const label = cell && cell.dataset.label ? cell.dataset.label : "";
          const band = e.closest("p,td") && /\d (\S+) \(/.exec(e.closest("p,td").textContent);
          return { at: e.dataset.at, stated: Number(e.getAttribute("value")), value, text: e.textContent,
                   unit: label.includes(", ") ? label.split(", ")[1] : ["fpm", "m/s"].includes(label) ? label : band && /[_/]band_?/.test(e.dataset.at) ? band[1] : "" };
        });
      });
      expect(figures.length > 10, `${name}: ${figures.length} figures`);
      for (const figure of figures) {
        // A sentence that says better or worse shows a difference's size.
        const sized = /\/difference_/.test(figure.at) && !/^[-+\u2212]/.test(figure.text);
        const value = sized ? Math.abs(figure.value) : figure.value;
        expect(figure.stated === figure.value && agrees(figure.text, value, figure.unit),
               `${name} ${figure.at}: shows ${figure.text} (${figure.unit}), the document holds ${figure.value}`);
      }
      // Accessible, light and dark, contrast included.
      for (const colorScheme of ["light", "dark"]) {
        await page.emulateMedia({ colorScheme });
        await page.addScriptTag({ path: require.resolve("axe-core/axe.min.js") });
        const found = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
        for (const violation of found.violations) {
          expect(false, `${name} ${colorScheme}: axe ${violation.id}: ${violation.nodes.slice(0, 2).map((n) => n.html.slice(0, 120))}`);
        }
        expect(found.passes.some((rule) => rule.id === "color-contrast"), `${name}: contrast was checked`);
      }
      // The pictures are XML.
      const faults = await page.evaluate(() =>
        [...document.querySelectorAll("figure svg")].map((svg) => {
          const parsed = new DOMParser().parseFromString(new XMLSerializer().serializeToString(svg), "image/svg+xml");
          const title = svg.querySelector("title");
          const names = svg.getAttribute("aria-labelledby").split(" ").every((id) => document.getElementById(id));
          return parsed.querySelector("parsererror") ? "not XML" : title && title.textContent && names ? "" : "no title";
        }).filter(Boolean));
      expect(faults.length === 0, `${name}: pictures ${faults}`);
      await page.context().close();
    }
  }
  expect(said.length === 0, "console or network: " + said.slice(0, 5).join("; "));

  // Paper: nothing is cut at a page's end, heads repeat, and the footer counts.
  for (const format of ["A4", "Letter"]) {
    const height = format === "A4" ? 297 : 279.4;
    const width = format === "A4" ? 210 : 215.9;
    const px = 96 / 25.4;
    for (const file of pages) {
      const page = await open(file, { viewport: { width: Math.floor((width - 28) * px), height: 800 } });
      await page.emulateMedia({ media: "print", colorScheme: "dark" });
      const room = (height - 34) * px;
      const found = await page.evaluate((most) => {
        const shown = (e) => e.getClientRects().length > 0;
        const style = (e) => getComputedStyle(e);
        const late = [...document.querySelectorAll("figure, tr, .finding, dl")].filter(shown);
        return {
          tall: late.filter((e) => e.getBoundingClientRect().height > most).map((e) => e.tagName),
          loose: late.filter((e) => style(e).breakInside !== "avoid").map((e) => e.tagName),
          heads: [...document.querySelectorAll("thead")].filter((e) => style(e).display !== "table-header-group").length,
          narrow: [...document.querySelectorAll(".narrow")].filter(shown).length,
          paper: style(document.body).backgroundColor,
          ink: style(document.body).color,
          wide: document.documentElement.scrollWidth - innerWidth,
        };
      }, room);
      const name = `${path.basename(file)} on ${format}`;
      expect(found.tall.length === 0, `${name}: taller than a page: ${found.tall}`);
      expect(found.loose.length === 0, `${name}: may be cut: ${found.loose}`);
      expect(found.heads === 0 && found.narrow === 0, `${name}: heads ${found.heads}, narrow ${found.narrow}`);
      expect(found.paper === "rgb(255, 255, 255)" && found.ink === "rgb(0, 0, 0)", `${name}: ${found.ink} on ${found.paper}`);
      expect(found.wide <= 0, `${name}: ${found.wide} px too wide`);
      const pdf = (await page.pdf({ format, preferCSSPageSize: false })).toString("latin1");
      expect(pdf.startsWith("%PDF") && /\/Type \/Page\b/.test(pdf), `${name}: no PDF`);
      await page.context().close();
    }
  }

  // Readings by keyboard and by pointer.
  {
    const page = await open(pages[5], { viewport: { width: 1280, height: 2000 } });
    const box = page.locator("#curves-1 .wide");
    const live = page.locator("#curves-1 .live");
    await box.focus();
    await page.keyboard.press("ArrowRight");
    const first = await live.textContent();
    await page.keyboard.press("ArrowRight");
    const second = await live.textContent();
    expect(/cfm/.test(first) && first !== second, `arrow keys read: ${first} / ${second}`);
    await page.keyboard.press("ArrowLeft");
    expect((await live.textContent()) === first, "back again");
    expect((await live.getAttribute("role")) === "status", "announced politely");
    await page.keyboard.press("End");
    expect((await live.textContent()).length > 0, "End reads");
    await page.keyboard.press("Escape");
    expect((await live.textContent()) === "", "Escape ends");
    await page.keyboard.press("Tab");
    expect(await page.evaluate(() => !document.querySelector("#curves-1 .wide").contains(document.activeElement)), "no trap");
    await page.locator("#pressure-1 .wide .reading").nth(2).hover();
    expect(/after/.test(await page.locator("#pressure-1 .live").textContent()), "hover reads");
    await page.keyboard.press("Tab");
    // The switch is remembered and the skip link works.
    await page.locator(".theme select").selectOption("dark");
    await page.reload();
    expect(await page.evaluate(() => document.documentElement.dataset.theme === "dark"), "theme is kept");
    await page.keyboard.press("Tab");
    expect((await page.evaluate(() => document.activeElement.className)) === "skip", "skip link first");
    await page.context().close();
  }

  // A hostile title stays text.
  {
    const page = await open(hostilePage, { viewport: { width: 1280, height: 800 } });
    expect((await page.locator("h1").textContent()).includes("</script><script>"), "title is shown as it is");
    expect(await page.evaluate(() => window.broken === undefined), "title does not run");
    await page.context().close();
  }
  await browser.close();
  fs.rmSync(folder, { recursive: true, force: true });
  console.log(`${checks} checks, ${failures} failed`);
  process.exit(failures === 0 ? 0 : 1);
})().catch((error) => {
  console.log("FAILED " + error.stack);
  process.exit(1);
});
