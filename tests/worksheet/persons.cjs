// What each of the three users comes for, done with the page's own controls.
"use strict";
const fs = require("node:fs");
const path = require("node:path");
const { folder, expect, fresh, drop, saved } = require("./browser.cjs");

const figure = (page) => page.locator(".figure strong").textContent();

async function persons({ browser, worksheet, root, run }) {
  await designer({ browser, worksheet, run });
  await installer({ browser, worksheet, root, run });
  await inspector({ browser, worksheet, root, run });
}

/** From nothing: up into the soffit and sideways, then changed until it is the route that is meant. */
async function designer({ browser, worksheet, run }) {
  const page = await fresh(browser, worksheet, { viewport: { width: 360, height: 740 }, hasTouch: true });
  await page.getByLabel("Up and sideways").check();
  await page.getByRole("textbox", { name: "Airflow", exact: true }).fill("450 cfm");
  await page.getByRole("textbox", { name: "Duct collar", exact: true }).fill("7 in round");
  await page.getByRole("textbox", { name: "Up", exact: true }).fill("1 ft 6 in");
  await page.getByRole("textbox", { name: "Sideways", exact: true }).fill("9 ft");
  await page.getByRole("textbox", { name: "Out to the open", exact: true }).fill("1 ft");
  await page.getByRole("textbox", { name: "Airflow that is wanted", exact: true }).fill("300 cfm");
  await page.getByRole("button", { name: "Make the first route" }).click();
  await page.waitForSelector(".piece");
  expect((await page.locator(".head.stale").count()) === 0, "designer: the first route is calculated");
  // The tape says that the way over the cupboards is longer than was guessed.
  await page.locator(".piece .row").nth(2).click();
  await page.locator(".piece.open .stepper input").fill("20 ft");
  expect((await figure(page)) === "338 cfm", `designer: ${await figure(page)} of the soffit route`);
  const file = path.join(folder, "designed.yaml");
  fs.writeFileSync(file, await saved(page));
  const told = run(["check", file]);
  expect(told.status !== 2, `designer: the program reads the route: ${told.stderr}`);
  expect(told.stdout.replace(/\s+/g, " ").includes(`delivers ${await figure(page)}`), `designer: the same figure, ${await figure(page)}`);
  await page.context().close();
}

/** 6 in or 7 in: route B begins as a copy, one box is changed, the difference stands there. */
async function installer({ browser, worksheet, root, run }) {
  const page = await fresh(browser, worksheet, { viewport: { width: 360, height: 740 }, hasTouch: true });
  await drop(page, path.join(root, "examples/row-house-round-or-flat.yaml"));
  const a = await figure(page);
  await page.getByRole("button", { name: "Begin route B" }).click();
  await page.locator(".layout-text summary").click();
  const area = page.locator(".layout-text textarea");
  await area.fill((await area.inputValue()).replace("section: 7 in round\n  material", "section: 6 in round\n  material"));
  const b = await figure(page);
  expect(a !== b, `installer: ${a} and ${b}`);
  await page.waitForFunction(() => document.querySelector(".routes svg"));
  const file = path.join(folder, "six.yaml");
  fs.writeFileSync(file, await saved(page));
  expect(run(["check", file]).stdout.replace(/\s+/g, " ").includes(`delivers ${b}`), `installer: the program says ${b} too`);
  await page.getByRole("button", { name: /as a variant/ }).click();
  await page.waitForFunction(() => /variant/.test(document.querySelector(".told").textContent));
  const both = path.join(folder, "both.yaml");
  fs.writeFileSync(both, await saved(page));
  const compared = run(["compare", both]);
  expect(compared.status !== 2 && compared.stdout.includes("route B"), `installer: compare reads the variant: ${compared.stderr}`);
  await page.context().close();
}

/** A submitted file: dropped, its worst finding read, printed. */
async function inspector({ browser, worksheet, root, run }) {
  const page = await fresh(browser, worksheet);
  const file = path.join(root, "examples/duplex-hood-as-submitted.yaml");
  await drop(page, file);
  const worst = await page.locator(".worst span").textContent();
  const document_ = JSON.parse(run(["check", "--json", file]).stdout);
  expect(document_.findings[0].message.replace(/\s+/g, " ") === worst || worst.length > 10, `inspector: ${worst}`);
  expect(worst.includes(document_.findings[0].message.slice(0, 30)), `inspector: the worst finding is the program's: ${worst} / ${document_.findings[0].message}`);
  const pdf = await page.pdf({ format: "letter" });
  expect(pdf.subarray(0, 4).toString() === "%PDF", "inspector: a PDF");
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  await page.emulateMedia({ media: "print" });
  const printed = await page.evaluate(() => ({
    sheet: document.querySelectorAll(".paper-box svg").length,
    text: document.querySelector(".paper-box").innerText,
    controls: [...document.querySelectorAll("button")].filter((e) => e.getClientRects().length).length,
  }));
  expect(printed.sheet > 0 && printed.controls === 0, `inspector: the sheet is printed, no controls: ${printed.sheet}, ${printed.controls}`);
  expect(/elbow gored-5/.test(printed.text) && /screws/.test(printed.text), "inspector: the bill is printed");
  await page.context().close();
}

module.exports = { persons };
