// Random changes through the page's own controls: the file that is saved answers with the same
// digits on the command line, and undo leads back to the bytes that were opened.
"use strict";
const fs = require("node:fs");
const path = require("node:path");
const { folder, expect, first_difference, fresh, drop, saved } = require("./browser.cjs");

/** Numbers from 0 to 1, the same for a seed each time. */
function random(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const comments = (text) => text.split(/\r?\n/).map((line) => line.trim()).filter((line) => line.startsWith("#")).sort().join("\n");

/** One random act of a person, on the real controls. Says what it did. */
function act(page, dice) {
  return page.evaluate(async (dice) => {
    const pick = (list, n) => list[Math.floor(dice[n] * list.length)];
    const all = (query) => [...document.querySelectorAll(query)].filter((e) => !e.disabled && e.getClientRects().length);
    const drawn = () => new Promise((later) => setTimeout(later, 0));
    const put = (input, value) => {
      input.value = value;
      input.dispatchEvent(new Event(input.tagName === "SELECT" ? "change" : "input", { bubbles: true }));
    };
    const row = pick(all(".piece .row"), 0);
    if (row && row.getAttribute("aria-expanded") === "false") row.click();
    await drawn();
    for (const closed of all(".piece.open .adder:not([open]) > summary")) closed.click();
    await drawn();
    const acts = {
      step: () => pick(all(".piece.open .stepper button"), 2)?.click(),
      type: () => { const s = pick(all(".piece.open .field select"), 2); if (s) put(s, pick([...s.options], 3).value); },
      write: () => { const i = pick(all(".piece.open .field input[type=text]"), 2); if (i) put(i, pick(["3 ft 7-3/8 in", "45 deg", "1.2", "6 in round", "70 %", "1.5 m", ""], 3)); },
      move: () => pick(all(".piece.open .fields > .acts button"), 2)?.click(),
      add: () => pick(all(".piece.open .adder button"), 2)?.click(),
      help: () => pick(all(".help .rows button"), 2)?.click(),
      slide: () => { const r = pick(all(".site input[type=range]"), 2); if (r) put(r, String(Number(r.min) + Math.round(dice[3] * 10) / 10 * (Number(r.max) - Number(r.min)))); },
      undo: () => pick(all(".pair button"), 2)?.click(),
    };
    const name = pick(Object.keys(acts), 1);
    for (let n = 0; name === "help" && n < 40 && document.querySelector(".help").ariaBusy === "true"; n += 1) {
      await new Promise((later) => setTimeout(later, 25));
    }
    acts[name]();
    await drawn();
    // Most people take a change back that is answered by an error.
    if (document.querySelector(".head.stale") && dice[3] < 0.8) {
      document.querySelector("[aria-label=Undo]").click();
      await drawn();
    }
    return `${name}: ${document.querySelector(".told").textContent}`;
  }, dice);
}

async function random_sequences({ browser, worksheet, examples, run, count }) {
  const next = random(20260202);
  const page = await fresh(browser, worksheet);
  let calculated = 0;
  for (let n = 0; n < count; n += 1) {
    const source = examples[n % examples.length];
    const opened = path.join(folder, `sequence-${n}.yaml`);
    const text = fs.readFileSync(source, "utf8");
    fs.writeFileSync(opened, n % 3 === 1 ? text.replace(/\n/g, "\r\n") : n % 3 === 2 ? text.trimEnd() : text);
    await drop(page, opened);
    const did = [];
    for (let k = 0; k < 8; k += 1) did.push(await act(page, [next(), next(), next(), next()]));
    const why = `sequence ${n} of ${path.basename(source)}: ${did.join(" | ")}`;
    const bytes = await saved(page);
    const name = `result-${n}.yaml`;
    fs.writeFileSync(path.join(folder, name), bytes);
    const ran = run(["check", "--json", name], { cwd: folder });
    const own = JSON.parse(ran.stdout);
    const theirs = await page.evaluate(([text, file]) => ductledger.check(text, { file }), [bytes.toString("utf8"), name]);
    // Exponentials of two C libraries may differ in the last bit, and a search may then end a step
    // earlier or later: docs/method.md ends it within 1e-9.
    const difference = first_difference(own, theirs, 1e-9);
    expect(difference === "", `${why}: the same answer: ${difference}`);
    expect((ran.status === 2) === (await page.locator(".head.stale").count() > 0), `${why}: the page shows an error as the program does`);
    if (ran.status !== 2) calculated += 1;
    expect(comments(bytes.toString("utf8")) === comments(text), `${why}: comments stay`);
    const undo = page.locator("[aria-label=Undo]");
    while (await undo.isEnabled()) await undo.click();
    expect((await saved(page)).equals(fs.readFileSync(opened)), `${why}: undo leads back to the same bytes`);
  }
  expect(calculated * 2 > count, `${calculated} of ${count} sequences end in a layout that can be calculated`);
  console.log(`${count} sequences of changes, ${calculated} ended in a layout that is calculated`);
  await page.context().close();
}

module.exports = { random_sequences };
