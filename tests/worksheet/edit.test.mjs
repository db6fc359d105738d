// Changes of a layout's text: what they change, and that nothing else moves.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { load, random, root } from "./bundle.mjs";

const { apply, apply_all, EditError, bare_key, path_at, place, plain_or_quoted, parse } = await load(`
export { apply, apply_all, EditError, bare_key } from "./edit";
export { path_at, place } from "./yaml_text";
export { plain_or_quoted } from "./quote";
export { parse } from "yaml";
`);

const set = (path, value) => ({ op: "set", path, value });
const remove = (path) => ({ op: "remove", path });
const insert = (path, value) => ({ op: "insert", path, value });
const move = (path, to) => ({ op: "move", path, to });
const duplicate = (path) => ({ op: "duplicate", path });
const tree = (text) => parse(text, { schema: "failsafe" });

const kRun = `# of the house
run:
  section: 8 in round   # as the collar
  pieces:               # from the collar on
    - straight: 4 ft    # to the ceiling
    # a turn to the wall
    - elbow: {type: gored-5, turn: back, radius_ratio: 1.5}

    - flex:
        length: 3 ft    # as installed
        # pulled tight
        stretched: 95 %
    - cap: 'wall-hood-flap' # last
# the end
`;

function becomes(before, op, old, put) {
  assert.equal(apply(before, op), before.replace(old, put));
  assert.notEqual(before.indexOf(old), -1, `the case stands in the text: ${old}`);
}

test("a value is replaced and its comment stays", () => {
  becomes(kRun, set(["run", "section"], "7 in round"), "8 in round", "7 in round");
  becomes(kRun, set(["run", "pieces", 0, "straight"], "4 ft 6 in"), "4 ft ", "4 ft 6 in ");
  becomes(kRun, set(["run", "pieces", 2, "flex", "length"], "5 ft"), "3 ft", "5 ft");
  becomes(kRun, set(["run", "pieces", 3, "cap"], "louver"), "'wall-hood-flap'", "louver");
  becomes(kRun, set(["run", "pieces", 1, "elbow", "radius-ratio"], "1"), "1.5}", "1}");
});

test("a bare value's own key is the bare value", () => {
  assert.equal(bare_key(kRun, ["run", "pieces", 0, "straight"]), "length");
  assert.equal(bare_key(kRun, ["run", "pieces", 2, "flex"]), null);
  becomes(kRun, set(["run", "pieces", 0, "straight", "length"], "5 ft"), "4 ft ", "5 ft ");
  becomes(kRun, set(["run", "pieces", 3, "cap", "type"], "louver"), "'wall-hood-flap'", "louver");
});

test("a second key puts a bare value into braces", () => {
  becomes(kRun, set(["run", "pieces", 0, "straight", "through"], "attic"), "4 ft ", "{length: 4 ft, through: attic} ");
  becomes(kRun, set(["run", "pieces", 3, "cap", "coefficient"], "0.4"), "'wall-hood-flap'", "{type: 'wall-hood-flap', coefficient: 0.4}");
  for (const [bare, key] of [["back", "turn"], ["up-back", "turn"], ["45 deg", "angle"], ["gored-5", "type"]]) {
    assert.equal(apply(`run: {pieces: [{elbow: ${bare}}]}`, set(["run", "pieces", 0, "elbow", "rise"], "1 ft")),
                 `run: {pieces: [{elbow: {${key}: ${bare}, rise: 1 ft}}]}`);
  }
  assert.equal(apply("p:\n  - transition: 10 x 3-1/4 in", set(["p", 0, "transition", "length"], "8 in")),
               "p:\n  - transition: {to: 10 x 3-1/4 in, length: 8 in}");
});

test("keys are added in the style of their mapping", () => {
  becomes(kRun, set(["run", "pieces", 1, "elbow", "angle"], "45 deg"), "1.5}", "1.5, angle: 45 deg}");
  becomes(kRun, set(["run", "pieces", 2, "flex", "sag"], "2 in"), "95 %\n", "95 %\n        sag: 2 in\n");
  becomes(kRun, set(["run", "discharge"], "room"), "# last\n", "# last\n  discharge: room\n");
  assert.equal(apply("a: {}\n", set(["a", "b"], "1")), "a: {b: 1}\n");
  assert.equal(apply("a:\n", set(["a", "b"], "1")), "a: {b: 1}\n");
  assert.equal(apply("a: {b: 1,}\n", set(["a", "c"], "2")), "a: {b: 1, c: 2,}\n");
  assert.equal(apply("layout: 1\ntitle: T", set(["site", "wind"], "5 mph")), "layout: 1\ntitle: T\nsite:\n  wind: 5 mph");
  assert.equal(apply("layout: 1\r\n\r\nrun:\r\n  a: 1\r\n", set(["site", "outdoor", "temperature"], "30 degF")),
               "layout: 1\r\n\r\nsite:\r\n  outdoor: {temperature: 30 degF}\r\n\r\nrun:\r\n  a: 1\r\n");
});

test("a mapping over a mapping goes key by key", () => {
  becomes(kRun, set(["run", "pieces", 2, "flex"], "{length: 6 ft, stretched: 95 %}"), "3 ft", "6 ft");
  becomes(kRun, set(["run", "pieces", 1, "elbow"], "{type: mitered, turn: back}"),
          "{type: gored-5, turn: back, radius_ratio: 1.5}", "{type: mitered, turn: back}");
  becomes(kRun, set(["run", "pieces", 2, "flex"], "3 ft"),
          "flex:\n        length: 3 ft    # as installed\n        # pulled tight\n        stretched: 95 %", "flex: 3 ft");
  becomes(kRun, set(["run", "pieces", 0], "flex: {length: 4 ft, stretched: 90 %}"), "straight: 4 ft", "flex: {length: 4 ft, stretched: 90 %}");
});

test("keys are removed with their line, or with one comma", () => {
  becomes(kRun, remove(["run", "section"]), "  section: 8 in round   # as the collar\n", "");
  becomes(kRun, remove(["run", "pieces", 1, "elbow", "turn"]), "turn: back, ", "");
  becomes(kRun, remove(["run", "pieces", 1, "elbow", "radius_ratio"]), ", radius_ratio: 1.5", "");
  becomes(kRun, remove(["run", "pieces", 2, "flex", "stretched"]), "        stretched: 95 %\n", "");
  assert.equal(apply("s:\n  o: {t: 1}\nz: 1\n", remove(["s", "o"])), "s: {}\nz: 1\n");
  assert.throws(() => apply(kRun, remove(["run", "pieces", 0, "straight", "length"])), EditError);
});

test("pieces are put in, taken out, moved and copied", () => {
  becomes(kRun, insert(["run", "pieces", 0], "damper: backdraft-flap"), "- straight: 4 ft", "- damper: backdraft-flap\n    - straight: 4 ft");
  becomes(kRun, insert(["run", "pieces", 1], "{straight: 1 ft}"), "ceiling\n", "ceiling\n    - straight: 1 ft\n");
  becomes(kRun, insert(["run", "pieces", 4], "cap: louver"), "# last\n", "# last\n    - cap: louver\n");
  becomes(kRun, remove(["run", "pieces", 0]), "    - straight: 4 ft    # to the ceiling\n", "");
  becomes(kRun, remove(["run", "pieces", 3]), "    - cap: 'wall-hood-flap' # last\n", "");
  becomes(kRun, duplicate(["run", "pieces", 0]), "ceiling\n", "ceiling\n    - straight: 4 ft\n");
  becomes(kRun, move(["run", "pieces", 1], 0),
          "- straight: 4 ft    # to the ceiling\n    # a turn to the wall\n    - elbow: {type: gored-5, turn: back, radius_ratio: 1.5}",
          "# a turn to the wall\n    - elbow: {type: gored-5, turn: back, radius_ratio: 1.5}\n    - straight: 4 ft    # to the ceiling");
  assert.equal(apply(apply(kRun, move(["run", "pieces", 0], 3)), move(["run", "pieces", 3], 0)), kRun);
  assert.equal(apply("p:\n  - cap: a", remove(["p", 0])), "p: []");
  assert.equal(apply("p: []", insert(["p", 0], "cap: a")), "p: [{cap: a}]");
  assert.equal(apply("p: [{a: 1}, {b: 2}, {c: 3}]", move(["p", 0], 2)), "p: [{b: 2}, {c: 3}, {a: 1}]");
  assert.equal(apply("p: [{a: 1}, {b: 2}]", remove(["p", 1])), "p: [{a: 1}]");
  assert.equal(apply("p: [\n  {a: 1},  # one\n  {b: 2}   # two\n]", insert(["p", 1], "c: 3")),
               "p: [\n  {a: 1},  # one\n  {c: 3},\n  {b: 2}   # two\n]");
  assert.equal(apply("p: [\n  {a: 1}, # one\n  {b: 2}\n]", remove(["p", 1])), "p: [\n  {a: 1} # one\n]");
});

test("comments between braces keep their lines", () => {
  assert.equal(apply("p: [\n  {a: 1}, # one\n  # two\n  {b: 2} # three\n ]", remove(["p", 1])),
               "p: [\n  {a: 1} # one\n  # two\n   # three\n ]");
});

test("a piece of another kind takes the place of one", () => {
  const ops = [remove(["run", "pieces", 2, "flex"]), set(["run", "pieces", 2, "straight"], "{length: 3 ft}")];
  assert.equal(apply_all(kRun, ops), kRun.replace(/flex:[^]*stretched: 95 %/, "straight: {length: 3 ft}"));
  const keys = [remove(["run", "pieces", 2, "flex", "length"]), set(["run", "pieces", 2, "flex", "sag"], "1 in")];
  assert.equal(apply_all(kRun, keys), keys.reduce(apply, kRun));
});

test("a text of a person is quoted where YAML would read something else", () => {
  for (const text of ["4 ft", "6' 6\"", "10 x 3-1/4 in", "-5 degF", "40 %", "in.w.g.", "½ in", "on"]) {
    assert.equal(plain_or_quoted(text), text);
  }
  for (const text of ["", " 4 ft", "a, b", "a: b", "# x", "- a", "{", "'x", "a #b", "@x", "%", "x:", "a\nb", "*a", "---"]) {
    const quoted = plain_or_quoted(text);
    assert.ok(quoted.startsWith('"'), text);
    assert.equal(tree(`k: {v: ${quoted}, w: 1}`).k.v, text);
  }
});

test("a place in the text is the path of what stands there", () => {
  const where = (needle) => path_at(kRun, kRun.indexOf(needle));
  assert.deepEqual(where("8 in round"), ["run", "section"]);
  assert.deepEqual(where("4 ft"), ["run", "pieces", 0, "straight"]);
  assert.deepEqual(where("95 %"), ["run", "pieces", 2, "flex", "stretched"]);
  assert.deepEqual(where("gored-5"), ["run", "pieces", 1, "elbow", "type"]);
  assert.equal(place("a\r\n\u{1f600}b", 2, 2), 5);
});

// ---- many edits --------------------------------------------------------------------------------

const kFlow = `layout: 1
run: {section: 6 in round, pieces: [
  {straight: 4 ft},       # one
  {elbow: {turn: back}},  # two
  {cap: louver}           # three
 ]}
site: {wind: "5 mph", outdoor: {temperature: 30 degF}}`;

const layouts = [
  ...readdirSync(join(root, "examples")).filter((name) => name.endsWith(".yaml"))
    .map((name) => readFileSync(join(root, "examples", name), "utf8")),
  kRun,
  kFlow,
];
const texts = layouts.flatMap((text) => [text, text.replace(/\n/g, "\r\n"), text.trimEnd(), `\ufeff${text}`]);

/** What an edit means for the tree, bare values aside. */
function applied(model, op) {
  const copy = structuredClone(model);
  let holder = copy;
  for (const step of op.path.slice(0, -1)) holder = holder[step];
  const last = op.path[op.path.length - 1];
  const value = op.value === undefined ? undefined : tree(op.value);
  if (op.op === "set") holder[last] = value;
  if (op.op === "insert") holder.splice(last, 0, value);
  if (op.op === "remove") Array.isArray(holder) ? holder.splice(last, 1) : delete holder[last];
  if (op.op === "duplicate") holder.splice(last, 0, structuredClone(holder[last]));
  if (op.op === "move") holder.splice(op.to, 0, ...holder.splice(last, 1));
  return copy;
}

function any_op(model, next) {
  const pieces = model.run.pieces;
  const pick = (list) => list[Math.floor(next() * list.length)];
  const index = Math.floor(next() * pieces.length);
  const kind = Object.keys(pieces[index])[0];
  const here = ["run", "pieces", index];
  const bare = typeof pieces[index][kind] === "string";
  const ops = [
    insert(["run", "pieces", Math.floor(next() * (pieces.length + 1))],
           pick(["straight: 2 ft", "elbow: {type: gored-5, turn: up}", "{damper: butterfly}", "cap: louver"])),
    set(["run", "section"], pick(["6 in round", "10 x 3-1/4 in", plain_or_quoted("a, b")])),
    set(here, pick(["straight: 1 m", "flex: {length: 3 ft, stretched: 95 %}"])),
    duplicate(here),
    move(here, Math.floor(next() * pieces.length)),
  ];
  if (pieces.length > 1) ops.push(remove(here));
  if (model.site && typeof model.site === "object") ops.push(set(["site", pick(["wind", "elevation"])], "3 m/s"));
  else ops.push(set(["site"], "{elevation: 200 m}"));
  if (bare) {
    ops.push(set([...here, kind], pick(["3 ft", "back"])));
  } else {
    const keys = Object.keys(pieces[index][kind]);
    ops.push(set([...here, kind, pick([...keys, "note", "coefficient"])], pick(["0.4", "word", plain_or_quoted("x # y")])));
    if (keys.length > 1) ops.push(remove([...here, kind, pick(keys)]));
  }
  return pick(ops);
}

const standing_comments = (text) => text.split(/\r?\n/).map((line) => line.replace(/^\ufeff/, "").trim()).filter((line) => line.startsWith("#")).sort();
const breaks = (text) => [...new Set(text.match(/\r?\n/g) ?? [])];

test("random edits mean what they say, and comments, line breaks and the end stay", () => {
  const next = random(20260101);
  for (const text of texts) {
    for (let round = 0; round < 3; round += 1) {
      let now = text;
      let model = tree(text);
      const said = [];
      for (let n = 0; n < 10; n += 1) {
        const op = any_op(model, next);
        said.push(op);
        const after = apply(now, op);
        model = applied(model, op);
        const why = () => `${JSON.stringify(op)}\n--- before\n${now}\n--- after\n${after}`;
        assert.deepEqual(tree(after), model, why());
        // In a block of its own an item with comments inside may be replaced whole.
        if (op.op !== "set") {
          const lost = standing_comments(now).filter((line) => !standing_comments(after).includes(line));
          assert.deepEqual(lost.filter((line) => line !== "# pulled tight"), [], why());
        }
        assert.deepEqual(breaks(after), breaks(text), why());
        assert.equal(after.endsWith("\n"), text.endsWith("\n"), why());
        assert.equal(after.startsWith("\ufeff"), text.startsWith("\ufeff"));
        now = after;
      }
      assert.equal(apply_all(text, said), now);
    }
  }
});
