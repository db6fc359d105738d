// Where things stand in a YAML text: nodes by path, their ends without comments, their lines.
import { isMap, isScalar, isSeq, parseDocument } from "yaml";
import type { Document, Node, Pair, YAMLMap, YAMLSeq } from "yaml";

/** Keys and indices (from 0) that lead to a value, such as ["run", "pieces", 2, "straight"]. */
export type Path = readonly (string | number)[];

/** The text cannot be edited there; the message says why, in words for the page. */
export class EditError extends Error {}

let kept: { text: string; document: Document.Parsed } | null = null;

/** The document of a text. Every scalar is text: what it means is decided elsewhere. */
export function read(text: string): Document.Parsed {
  if (kept?.text !== text) {
    kept = { text, document: parsed(text) };
  }
  return kept.document;
}

/** A text nested so deeply that the parser gives up counts as one with a fault. */
function parsed(text: string): Document.Parsed {
  const options = { schema: "failsafe", uniqueKeys: false, keepSourceTokens: true } as const;
  try {
    return parseDocument(text, options) as Document.Parsed;
  } catch {
    return parseDocument('"', options) as Document.Parsed;
  }
}

/** The document of a text that is to be edited: one without faults. */
export function readable(text: string): Document.Parsed {
  const document = read(text);
  if (document.errors.length > 0) throw new EditError("the text is not readable as YAML yet");
  return document;
}

/** Keys are compared as the layout's reader does: capitals, hyphens and spaces count for nothing. */
export function key_word(key: string): string {
  return key.toLowerCase().replace(/[-\s]/g, "_");
}

export function key_of(pair: Pair): string {
  return isScalar(pair.key) ? String(pair.key.value) : "";
}

export function pair_of(map: YAMLMap, key: string | number): Pair<Node, Node | null> | undefined {
  const word = key_word(String(key));
  return map.items.find((pair) => key_word(key_of(pair)) === word) as Pair<Node, Node | null> | undefined;
}

export function child(node: unknown, step: string | number): Node | null {
  if (isMap(node)) return pair_of(node, step)?.value ?? null;
  if (isSeq(node) && typeof step === "number") return (node.items[step] as Node | undefined) ?? null;
  return null;
}

export function at(text: string, path: Path): Node | null {
  let node: Node | null = read(text).contents;
  for (const step of path) node = child(node, step);
  return node;
}

/** A scalar's text as a reader takes it; nothing for a collection or where nothing stands. */
export function text_at(text: string, path: Path): string | null {
  const node = at(text, path);
  return isScalar(node) ? String(node.value ?? "") : null;
}

export function begin(node: Node): number {
  return node.range![0];
}

export function is_braced(text: string, node: Node): boolean {
  const first = text[begin(node)];
  return (isMap(node) && first === "{") || (isSeq(node) && first === "[");
}

/** Behind a node's last character, comments and line ends not counted. */
export function end(text: string, node: Node): number {
  if ((isMap(node) || isSeq(node)) && !is_braced(text, node)) {
    const last = node.items[node.items.length - 1];
    if (last === undefined) return begin(node);
    return isMap(node) ? pair_end(text, last as Pair<Node, Node | null>) : end(text, last as Node);
  }
  let behind = node.range![1];
  while (behind > begin(node) && (text[behind - 1] === "\n" || text[behind - 1] === "\r")) behind -= 1;
  return behind;
}

export function pair_end(text: string, pair: Pair<Node, Node | null>): number {
  const key_end = end(text, pair.key);
  if (pair.value === null || pair.value === undefined) return key_end;
  return is_empty(pair.value) ? behind_colon(text, pair) : Math.max(key_end, end(text, pair.value));
}

/** Behind the colon of a key; behind the key where it has none. */
export function behind_colon(text: string, pair: Pair<Node, Node | null>): number {
  const key_end = end(text, pair.key);
  let at_ = key_end;
  while (text[at_] === " " || text[at_] === "\t") at_ += 1;
  return text[at_] === ":" ? at_ + 1 : key_end;
}

/** A value that is not there: `key:` and nothing behind it. */
export function is_empty(node: Node | null): boolean {
  return node === null || (isScalar(node) && node.range![0] === node.range![1]);
}

export function line_start(text: string, at_: number): number {
  return text.lastIndexOf("\n", at_ - 1) + 1;
}

/** Where the line ends, before its line break. */
export function line_end(text: string, at_: number): number {
  const found = text.indexOf("\n", at_);
  if (found < 0) return text.length;
  return text[found - 1] === "\r" && found - 1 >= at_ ? found - 1 : found;
}

/** Where the next line starts. */
export function next_line(text: string, at_: number): number {
  const found = text.indexOf("\n", at_);
  return found < 0 ? text.length : found + 1;
}

export function line_break(text: string): string {
  const found = text.indexOf("\n");
  return found > 0 && text[found - 1] === "\r" ? "\r\n" : "\n";
}

export function column(text: string, at_: number): number {
  const start = line_start(text, at_);
  return at_ - start - (text[start] === "\ufeff" ? 1 : 0);
}

/** The place of a line and column counted in characters from 1. */
export function place(text: string, line: number, column_: number): number {
  let start = 0;
  for (let n = 1; n < line; n += 1) {
    start = next_line(text, start);
  }
  let here = start;
  for (let n = 1; n < column_ && here < text.length && text[here] !== "\n"; n += 1) {
    here += text.codePointAt(here)! > 0xffff ? 2 : 1;
  }
  return here;
}

/** The path of the innermost value, or of the key, at a place in the text. */
export function path_at(text: string, where: number): Path {
  const path: (string | number)[] = [];
  let node: Node | null = read(text).contents;
  while (node !== null) {
    if (isMap(node)) {
      const pairs = node.items as Pair<Node, Node | null>[];
      const inside = pairs.find((pair) => begin(pair.key) <= where && where <= pair_end(text, pair));
      if (inside === undefined) break;
      path.push(key_of(inside));
      if (where < end(text, inside.key)) break;
      node = inside.value;
    } else if (isSeq(node)) {
      const index = (node.items as Node[]).findIndex(
        (item) => item !== null && begin(item) <= where && where <= end(text, item),
      );
      if (index < 0) break;
      path.push(index);
      node = node.items[index] as Node;
    } else {
      break;
    }
  }
  return path;
}

export type { Node, Pair, YAMLMap, YAMLSeq };
