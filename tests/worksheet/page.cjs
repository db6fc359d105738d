// The worksheet in a real browser. usage: node page.cjs DUCTLEDGER WORKSHEET.html [--sequences N]
"use strict";
const fs = require("node:fs");
const path = require("node:path");
const { said, folder, expect, first_difference, launch, fresh, drop, saved, program_of, done } = require("./browser.cjs");
const { random_sequences } = require("./sequences.cjs");
const { persons } = require("./persons.cjs");

const [program, worksheet] = process.argv.slice(2, 4);
const at = process.argv.indexOf("--sequences");
const sequences = at < 0 ? 12 : Number(process.argv[at + 1]);
const run = program_of(path.resolve(program));
const root = path.resolve(__dirname, "../..");
const examples = fs.readdirSync(path.join(root, "examples")).filter((name) => name.endsWith(".yaml")).sort()
  .map((name) => path.join(root, "examples", name));

/** All that follows an answer is there; nothing moves any more. */
const settled = (page) => page.waitForSelector("main[data-asking=false]");

async function accessible(page, what) {
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    const found = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
    for (const violation of found.violations) {
      expect(false, `${what} ${colorScheme}: axe ${violation.id}: ${violation.nodes.slice(0, 3).map((n) => n.html.slice(0, 140))}`);
    }
    expect(found.passes.some((rule) => rule.id === "color-contrast"), `${what}: contrast was checked`);
  }
  await page.emulateMedia({ colorScheme: "light" });
}

async function narrow(page, what) {
  for (const width of [320, 360, 390, 768, 900, 1280]) {
    await page.setViewportSize({ width, height: 800 });
    await page.waitForTimeout(150);
    const found = await page.evaluate(() => ({
      wide: document.documentElement.scrollWidth,
      out: [...document.querySelectorAll("#page *")]
        .filter((e) => !e.closest("svg, thead, .skip, .paper-box, textarea") && e.getClientRects().length)
        .filter((e) => e.getBoundingClientRect().right > innerWidth + 0.5)
        .map((e) => `${e.tagName}.${e.className} ${e.textContent.slice(0, 40)}`),
      small: [...document.querySelectorAll("#page :is(button, select, input:not([hidden]), summary, a:not(.skip))")]
        .filter((e) => e.getClientRects().length && !e.closest("p, .section"))
        .filter((e) => { const r = (e.closest("label.outlet, label.plain-choice") ?? e).getBoundingClientRect(); return r.height < 43.5; })
        .map((e) => `${e.tagName} ${e.textContent.slice(0, 40)} ${e.getBoundingClientRect().height}`),
    }));
    expect(found.wide <= width, `${what} ${width}: scrolls sideways, ${found.wide} px`);
    expect(found.out.length === 0, `${what} ${width}: beyond the edge: ${found.out.slice(0, 3)}`);
    expect(found.small.length === 0, `${what} ${width}: less than 44 px: ${found.small.slice(0, 4)}`);
  }
  await page.setViewportSize({ width: 1280, height: 900 });
}

(async () => {
  const browser = await launch();
  const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

  // Every example: the same document as the program's, and the head says what the program says. The
  // page's mathematics library is another, whose logarithms may differ in the last digit.
  {
    const page = await fresh(browser, worksheet);
    for (const file of examples) {
      const name = path.basename(file);
      const text = fs.readFileSync(file, "utf8");
      const own = JSON.parse(run(["check", "--json", name], { cwd: path.dirname(file) }).stdout);
      const theirs = await page.evaluate(([text, file]) => ductledger.check(text, { file }), [text, name]);
      const difference = first_difference(own, theirs, 1e-12);
      expect(difference === "", `${name}: the page answers as check --json: ${difference}`);
      await drop(page, file);
      const words = run(["check", name], { cwd: path.dirname(file) }).stdout.replace(/\s+/g, " ");
      const figure = await page.locator(".figure strong").textContent();
      expect(words.includes(`delivers ${figure}`), `${name}: shows ${figure}`);
    }
    await page.context().close();
  }

  // States: accessible, within the screen, fingers find their targets.
  {
    const page = await fresh(browser, worksheet, { bypassCSP: true });
    await page.evaluate(axe);
    const look = async (what) => {
      await accessible(page, what);
      await narrow(page, what);
    };
    await look("first questions");
    await drop(page, path.join(root, "examples/terrace-soffit-sideways.yaml"));
    await settled(page);
    await look("open");
    await page.locator(".piece .row").nth(2).click();
    await look("a piece selected");
    await page.locator(".piece.open .adder summary").last().click();
    await look("adding a piece");
    await page.locator(".piece.open .field input[type=text]").first().fill("4 fx");
    await look("an error at its field");
    expect((await page.locator(".piece.open .field .fault").count()) > 0, "the error stands at its field");
    expect(await page.locator(".piece.open .field input[type=text]").first().evaluate((e) => e.getAttribute("aria-invalid") === "true"), "the field says that it is wrong");
    await page.locator("[aria-label=Undo]").click();
    await page.getByRole("button", { name: "Begin route B" }).click();
    await page.locator(".piece .row").nth(1).click();
    await settled(page);
    await look("two routes");
    await page.locator(".layout-text summary").click();
    await look("the text is open");
    await page.locator(".layout-text textarea").fill("layout: 1\n  title: [");
    await look("a text that is no YAML");
    await page.context().close();
  }

  // By keyboard alone: skip link, a piece opened, a length made longer, undone.
  {
    const page = await fresh(browser, worksheet);
    await drop(page, path.join(root, "examples/terrace-soffit-sideways.yaml"));
    await page.evaluate(() => document.activeElement?.blur());
    await page.keyboard.press("Tab");
    expect((await page.evaluate(() => document.activeElement.className)) === "skip", "skip link first");
    await page.locator(".piece .row").first().focus();
    await page.keyboard.press("Enter");
    const input = page.locator(".piece.open .stepper input");
    const before = await input.inputValue();
    await page.locator(".piece.open .stepper button").last().focus();
    await page.keyboard.press("Enter");
    const after = await input.inputValue();
    expect(before !== after, `longer by keyboard: ${before} to ${after}`);
    await page.keyboard.press("Control+z");
    expect((await input.inputValue()) === before, "Control Z takes it back");
    await page.keyboard.press("Control+y");
    expect((await input.inputValue()) === after, "Control Y does it again");
    expect((await page.locator(".answer-now").getAttribute("aria-live")) === "polite", "the answer is told politely");
    // A drawing's piece by a tap.
    await settled(page);
    expect((await page.locator(".drawing").getAttribute("aria-busy")) === "false", "the drawing is of this layout");
    await page.locator(".drawing [data-piece='3']").first().click({ force: true });
    expect((await page.locator(".piece.open .number").textContent()) === "4", "a tap in the drawing selects");
    await page.context().close();
  }

  // What would help keeps its word: a row that is done delivers what it said, and can be taken back.
  {
    const page = await fresh(browser, worksheet);
    let done_ = 0;
    for (const file of examples) {
      await drop(page, file);
      await page.waitForFunction(() => document.querySelector(".help").ariaBusy === "false");
      const rows = await page.locator(".help .rows li").count();
      const before = await page.locator(".layout-text textarea").inputValue();
      for (let n = 0; n < rows; n += 1) {
        const row = page.locator(".help .rows li").nth(n);
        if ((await row.locator("button").count()) === 0) continue;
        const words = await row.locator(".gain").textContent();
        await row.locator("button").click();
        const figure = await page.locator(".figure strong").textContent();
        // A bound or an estimate holds the number that was said.
        const said = /: (?:.*\D)?([\d.]+) \D*$/.exec(words)?.[1] ?? "nothing";
        expect(figure.split(/[^\d.]+/).includes(said) && (await page.locator(".head.stale").count()) === 0,
               `${path.basename(file)}: "${words}" was said, ${figure} came of it`);
        await page.locator("[aria-label=Undo]").click();
        expect((await page.locator(".layout-text textarea").inputValue()) === before, `${path.basename(file)}: row ${n + 1} is taken back`);
        await page.waitForSelector(".help[aria-busy=false]");
        done_ += 1;
      }
    }
    expect(done_ > 20, `${done_} rows of advice were done`);
    await page.context().close();
  }

  // Nothing gets out, nothing foreign gets in.
  {
    const page = await fresh(browser, worksheet);
    const before = said.length;
    const blocked = await page.evaluate(async () => {
      const out = {};
      try { await fetch("https://example.invalid/"); out.fetch = "went"; } catch { out.fetch = "blocked"; }
      const heard = [];
      document.addEventListener("securitypolicyviolation", (event) => heard.push(event.effectiveDirective));
      const script = document.createElement("script");
      script.textContent = "globalThis.broken = 1";
      document.body.append(script);
      document.body.insertAdjacentHTML("beforeend", "<img src='https://example.invalid/x.png' onerror='globalThis.broken = 2'><p style='color:red'>x</p>");
      try { new WebSocket("wss://example.invalid/"); } catch { heard.push("connect-src"); }
      setTimeout("globalThis.broken = 3");
      await new Promise((later) => setTimeout(later, 200));
      return { ...out, heard, broken: globalThis.broken };
    });
    said.length = before;
    expect(blocked.fetch === "blocked" && blocked.broken === undefined, `policy: ${JSON.stringify(blocked)}`);
    for (const directive of ["connect-src", "img-src", "script-src-elem", "style-src-attr"]) {
      expect(blocked.heard.includes(directive), `policy: ${directive} is refused, ${blocked.heard}`);
    }
    await page.context().close();
  }

  // Hostile files: an answer or an error, the same as the program's, and the page goes on.
  {
    const page = await fresh(browser, worksheet);
    const corpus = ["tests/hostile/corpus", "tests/hostile/layouts", "tests/fuzz/corpus"].map((name) => path.join(root, name)).filter(fs.existsSync)
      .flatMap((name) => fs.readdirSync(name).filter((file) => file.endsWith(".yaml")).map((file) => path.join(name, file)));
    expect(corpus.length > 100, `${corpus.length} hostile files`);
    for (const file of corpus) {
      await drop(page, file);
      const state = await page.evaluate(() => ({
        alive: document.querySelector("#page .page") !== null,
        fault: document.querySelector(".faults .finding p")?.textContent ?? "",
        broken: globalThis.broken,
      }));
      expect(state.alive && state.broken === undefined, `${path.basename(file)}: the page stands`);
      const told = run(["check", file]);
      const name = path.basename(file);
      if (told.status === 2) {
        const shown = (await page.locator(".told, .faults").allTextContents()).join(" ");
        const first = /^error\[[\w-]+\]: (.*)$/m.exec(told.stderr)?.[1] ?? "";
        expect(shown.replace(/\s+/g, " ").includes(first.replace(/\s+/g, " ").slice(0, 60)), `${name}: says "${first}", the page: ${shown.slice(0, 200)}`);
      } else {
        expect(state.fault === "" || !/^error/.test(state.fault), `${name}: read by the program, not by the page: ${state.fault}`);
      }
    }
    await drop(page, path.join(root, "examples/terrace-soffit-sideways.yaml"));
    expect((await page.locator(".figure strong").textContent()) !== "", "the page still answers");
    await page.context().close();
  }

  // Kept, linked, saved: the same bytes.
  {
    const page = await fresh(browser, worksheet);
    const file = path.join(folder, "crlf.yaml");
    fs.writeFileSync(file, "\ufeff" + fs.readFileSync(examples[0], "utf8").replace(/\n/g, "\r\n"));
    await drop(page, file);
    expect((await saved(page)).equals(fs.readFileSync(file)), "saved as it was opened");
    await page.locator(".piece .row").first().click();
    await page.locator(".piece.open .stepper button").last().click();
    const changed = await page.locator(".layout-text textarea").inputValue();
    const copied = page.locator(".take").getByRole("button", { name: "Make a link" });
    await copied.click();
    await page.waitForFunction(() => location.hash.startsWith("#layout="));
    const link = page.url();
    await page.waitForTimeout(500);
    const other = await page.context().newPage();
    await other.goto(link);
    await other.waitForSelector(".piece");
    expect((await other.locator(".layout-text textarea").inputValue()) === changed, "a link is the layout");
    const again = await page.context().newPage();
    await again.goto("file://" + worksheet);
    await again.getByRole("button", { name: "Take it up again" }).first().click();
    expect((await again.locator(".layout-text textarea").inputValue()) === changed, "unsaved work is offered again");
    await again.locator("[aria-label=Undo]").click();
    expect((await saved(again)).equals(fs.readFileSync(file)), "and can be taken back to the bytes that were opened");
    await page.context().close();
  }

  await persons({ browser, worksheet, root, run });
  await random_sequences({ browser, worksheet, examples, run, count: sequences });
  await times(browser);

  expect(said.length === 0, "console or network: " + said.slice(0, 5).join("; "));
  await browser.close();
  done();

  /** Printed for docs/performance.md; a busy machine fails nothing. */
  async function times(browser) {
    console.log(`size ${Math.round(fs.statSync(worksheet).size / 1000)} kB`);
    for (const rate of [1, 6]) {
      const page = await fresh(browser, worksheet);
      const devtools = await page.context().newCDPSession(page);
      await devtools.send("Emulation.setCPUThrottlingRate", { rate });
      const begun = Date.now();
      await page.reload();
      await page.waitForSelector(".start, .piece");
      const opened = Date.now() - begun;
      const keys = [];
      const advice = [];
      for (const file of examples) {
        await drop(page, file);
        await page.waitForSelector(".help[aria-busy=false]");
        const found = await page.evaluate(async () => {
          const row = document.querySelector(".piece .row");
          if (row.getAttribute("aria-expanded") === "false") row.click();
          await new Promise((later) => setTimeout(later, 50));
          const input = document.querySelector(".piece.open .field input[type=text]");
          const before = document.querySelector(".told").textContent;
          const start = performance.now();
          const old = input.value;
          input.value = /^\d/.test(old) ? old.replace(/^\d/, (digit) => String((Number(digit) % 8) + 1)) : old + " ";
          input.dispatchEvent(new Event("input", { bubbles: true }));
          while (document.querySelector(".told").textContent === before) await new Promise((later) => requestAnimationFrame(later));
          return performance.now() - start;
        });
        keys.push(found);
        const asked = Date.now();
        await page.waitForFunction(() => document.querySelector(".help").ariaBusy === "false");
        advice.push(Date.now() - asked);
      }
      const ms = (list) => `${Math.round(Math.min(...list))} to ${Math.round(Math.max(...list))} ms`;
      console.log(`throttled ${rate} x: opens ${opened} ms, key to answer ${ms(keys)}, advice ${ms(advice)} later`);
      await page.context().close();
    }
  }
})().catch((error) => {
  console.log("FAILED " + error.stack);
  process.exit(1);
});

