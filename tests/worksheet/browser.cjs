// A page without a network, and what every check of it needs.
"use strict";
const { chromium } = require("playwright-core");
const { spawnSync } = require("node:child_process");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");

const said = []; // whatever the console or the network was used for
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "ductledger-worksheet-"));
let checks = 0;
let failures = 0;

function expect(holds, what) {
  checks += 1;
  if (holds) return;
  failures += 1;
  console.log("FAILED " + what);
}

/**
 * Where two documents differ; nothing where they do not. `apart` is how far two numbers may be from
 * each other, relative; a residual is what is left of a difference and counts against 1 Pa.
 */
function first_difference(a, b, apart = 0, where = "") {
  if (typeof a === "number" && typeof b === "number") {
    const scale = /\/residual_pa$/.test(where) ? 1 : Math.max(Math.abs(a), Math.abs(b));
    return Math.abs(a - b) <= apart * scale ? "" : `${where}: ${a} and ${b}`;
  }
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return a === b ? "" : `${where}: ${a} and ${b}`;
  if (Object.keys(a).join() !== Object.keys(b).join()) return `${where}: keys ${Object.keys(a)} and ${Object.keys(b)}`;
  for (const key of Object.keys(a)) {
    const found = first_difference(a[key], b[key], apart, `${where}/${key}`);
    if (found) return found;
  }
  return "";
}

async function launch() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
           "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
}

/** The worksheet in a context of its own: nothing stored, no network. */
async function fresh(browser, worksheet, options = {}) {
  const context = await browser.newContext({ offline: true, acceptDownloads: true, viewport: { width: 1280, height: 900 }, ...options });
  context.setDefaultTimeout(120000);  // a machine may be busy with a build
  const page = await context.newPage();
  page.on("console", (message) => said.push(message.text()));
  page.on("pageerror", (error) => said.push(error.stack));
  page.on("request", (request) => {
    if (!/^(file|blob|data):/.test(request.url())) said.push("asks for " + request.url());
  });
  await page.goto("file://" + worksheet);
  await page.waitForFunction(() => globalThis.ductledger);
  await page.evaluate(() => ductledger.ready);
  return page;
}

async function drop(page, file) {
  await page.evaluate(([name, bytes]) => {
    const data = new DataTransfer();
    data.items.add(new File([new Uint8Array(bytes)], name));
    document.dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
  }, [path.basename(file), [...fs.readFileSync(file)]]);
  await page.waitForFunction((name) => document.querySelector(".told").textContent.includes(name), path.basename(file));
}

/** The bytes that the page's own button saves. */
async function saved(page) {
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: /^Save .*\.yaml$/ }).click()]);
  return fs.readFileSync(await download.path());
}

function program_of(program) {
  return (args, options = {}) => {
    const ran = spawnSync(program, args, { encoding: "utf8", maxBuffer: 1 << 26, ...options });
    if (ran.error) throw ran.error;
    return ran;
  };
}

function done() {
  fs.rmSync(folder, { recursive: true, force: true });
  console.log(`${checks} checks, ${failures} failed`);
  process.exit(failures === 0 ? 0 : 1);
}

module.exports = { said, folder, expect, first_difference, launch, fresh, drop, saved, program_of, done };
