// A route's history, a layout in an address, the pieces as they stand in a text.
import assert from "node:assert/strict";
import { test } from "node:test";
import { load } from "./bundle.mjs";

const { opened_route, changed, at_step, settled, text_of, fragment_of, text_in, decoded, pieces_in, stated_at, is_at, first_form, typed_over } = await load(`
export { opened_route, changed, at_step, settled, text_of } from "./route";
export { fragment_of, text_in, decoded } from "./fragment";
export { typed_over } from "./typed";
export { pieces_in, stated_at, is_at, first_form } from "./run_text";
`);

test("steps are taken back and done again", () => {
  let route = opened_route("a");
  route = changed(route, { text: "b", words: "one", field: "" });
  route = changed(route, { text: "c", words: "two", field: "" });
  assert.equal(text_of(route), "c");
  route = at_step(route, 1);
  assert.equal(text_of(route), "b");
  assert.equal(text_of(at_step(route, 2)), "c");
  assert.equal(text_of(at_step(route, 0)), "a");
  assert.equal(text_of(at_step(route, -3)), "a");
  route = changed(route, { text: "d", words: "another", field: "" });
  assert.deepEqual(route.steps.map((step) => step.words), ["one", "another"]);
  assert.equal(changed(route, { text: "d", words: "nothing", field: "" }), route);
});

test("changes of one field are one step until the field is left", () => {
  let route = opened_route("4 ft");
  route = changed(route, { text: "5 ft", words: "length: from 4 ft to 5 ft", field: "l" });
  route = changed(route, { text: "6 ft", words: "length: from 5 ft to 6 ft", field: "l" });
  assert.deepEqual(route.steps.map((step) => step.words), ["length: from 4 ft to 6 ft"]);
  assert.equal(changed(route, { text: "4 ft", words: "length: from 6 ft to 4 ft", field: "l" }).steps.length, 0);
  route = changed(settled(route), { text: "7 ft", words: "length: from 6 ft to 7 ft", field: "l" });
  assert.equal(route.steps.length, 2);
  assert.equal(text_of(at_step(route, 1)), "6 ft");
});

test("a link holds the layout to the byte", async () => {
  const text = "\ufefflayout: 1\r\ntitle: Stra\u00dfe \u{1f300}\r\n".repeat(40);
  const fragment = await fragment_of(text);
  assert.match(fragment, /^#layout=[\w-]+$/);
  assert.ok(fragment.length < text.length / 4);
  assert.equal(await text_in(fragment), text);
  for (const broken of ["", "#layout=", "#layout=!!", "#layout=AAAA", "#other", fragment.slice(0, 40)]) {
    assert.equal(await text_in(broken), null);
  }
  assert.equal(await text_in(await fragment_of("x".repeat((1 << 20) + 1))), null, "a link that unfolds to more than a layout");
  assert.equal(decoded(new Uint8Array([0x61, 0xe2, 0x82])), null);
  assert.equal(decoded(new Uint8Array([0xef, 0xbb, 0xbf, 0x61])), "\ufeffa");
});

const kText = "run:\n  heading: up\n  pieces:\n    - straight: 4 ft\n    - elbow: back\n    - Flex: {length: 3 ft}\n    - fan\n";

test("pieces are listed as they stand", () => {
  assert.deepEqual(pieces_in(kText).map((piece) => [piece.kind, piece.value]),
                   [["straight", "4 ft"], ["elbow", "back"], ["Flex", "length 3 ft"], ["fan", ""]]);
  assert.deepEqual(pieces_in("run: 3"), []);
  assert.equal(stated_at(kText, ["run", "pieces", 0, "straight", "length"]), "4 ft");
  assert.equal(stated_at(kText, ["run", "pieces", 1, "elbow", "turn"]), "back");
  assert.equal(stated_at(kText, ["run", "pieces", 1, "elbow", "type"]), null);
  assert.equal(stated_at(kText, ["site", "wind"]), null);
});

test("a fault is at the field whose text it points at", () => {
  const fault = ["run", "pieces", 0, "straight"];
  assert.ok(is_at(kText, fault, ["run", "pieces", 0, "straight", "length"]));
  assert.ok(!is_at(kText, fault, ["run", "pieces", 0, "straight", "through"]));
  assert.ok(is_at(kText, ["run", "pieces", 2, "Flex", "length"], ["run", "pieces", 2, "flex", "length"]));
  assert.ok(!is_at(kText, ["run"], ["run", "section"]));
});

test("a new elbow turns another way than the run goes", () => {
  assert.equal(first_form(kText, 1, "elbow", "ip", []), "elbow: back");
  assert.equal(first_form(kText, 2, "elbow", "ip", []), "elbow: up");
  assert.equal(first_form("run: {pieces: [{cap: a}]}", 0, "elbow", "ip", []), "elbow: {angle: 90 deg}");
  assert.equal(first_form(kText, 0, "straight", "si", []), "straight: 500 mm");
});

test("what is typed keeps the line breaks around it", () => {
  const text = "a: 1\r\nb: 2\nc: 3\rd: 4\r\n";
  assert.equal(typed_over(text, "a: 1\nb: 2\nc: 3\nd: 4\n"), text);
  assert.equal(typed_over(text, "a: 1\nb: 5\nc: 3\nd: 4\n"), text.replace("2", "5"));
  assert.equal(typed_over(text, "a: 1\nx: 9\nb: 2\nc: 3\nd: 4\n"), "a: 1\r\nx: 9\r\nb: 2\nc: 3\rd: 4\r\n");
  assert.equal(typed_over(text, ""), "");
  assert.equal(typed_over("", "x\n"), "x\n");
});

test("bytes come back from their text, which no markup can end", async () => {
  const { text_of_bytes, bytes_in } = await load(`export * from "./base85";`);
  for (let size = 0; size < 70; size += 1) {
    const bytes = Uint8Array.from({ length: size }, (_, n) => (n * 73 + size * 151) % 256);
    const text = text_of_bytes(bytes);
    assert.match(text, /^[\x21-\x7e]*$/);
    assert.doesNotMatch(text, /[<>&"'`\\@-]/);
    assert.deepEqual(bytes_in(text), bytes);
  }
  assert.deepEqual(bytes_in(text_of_bytes(new Uint8Array([255, 255, 255, 255]))), new Uint8Array([255, 255, 255, 255]));
});
