// Changes of a layout's text: what a change does not touch stays as it was typed, comments and all.
import { isMap, isScalar, isSeq } from "yaml";
import { flow_item, item_text, plain_or_quoted } from "./quote";
import {
  EditError, begin, behind_colon, child, column, end, is_braced, is_empty, key_of, key_word, line_break,
  line_end, line_start, next_line, pair_end, pair_of, read, readable,
} from "./yaml_text";
import type { Node, Pair, Path, YAMLMap, YAMLSeq } from "./yaml_text";

export { EditError } from "./yaml_text";
export type { Path } from "./yaml_text";

/** One change. `value` is YAML in one line; an inserted piece as it stands behind its dash. */
export type Op =
  | { op: "set"; path: Path; value: string }
  | { op: "remove"; path: Path }
  | { op: "insert"; path: Path; value: string }
  | { op: "move"; path: Path; to: number }
  | { op: "duplicate"; path: Path };

export function apply(text: string, op: Op): string {
  switch (op.op) {
    case "set":
      return set(text, op.path, op.value);
    case "remove":
      return remove(text, op.path);
    case "insert":
      return insert(text, op.path, op.value);
    case "move":
      return move(text, op.path, op.to);
    case "duplicate":
      return duplicate(text, op.path);
  }
}

export function apply_all(text: string, ops: readonly Op[]): string {
  return joined(ops).reduce(apply, text);
}

/** A piece whose kind goes and comes as another is one piece in the place of one. */
function joined(ops: readonly Op[]): Op[] {
  const out: Op[] = [];
  for (const op of ops) {
    const last = out[out.length - 1];
    const item = op.path.slice(0, -1);
    const goes = last?.op === "remove" && last.path.length === op.path.length && item.every((step, n) => step === last.path[n]);
    if (goes && op.op === "set" && typeof item[item.length - 1] === "number") {
      out[out.length - 1] = { op: "set", path: item, value: `${String(op.path[op.path.length - 1])}: ${op.value}` };
    } else {
      out.push(op);
    }
  }
  return out;
}

type Entry = Pair<Node, Node | null>;

function splice(text: string, from: number, to: number, put: string): string {
  return text.slice(0, from) + put + text.slice(to);
}

/** The kinds of piece whose bare value stands for one of their keys. */
function main_word(kind: string, value: string): string | null {
  const number_first = /^[-+.\d¼½¾⅛⅜⅝⅞]/.test(value);
  switch (key_word(kind)) {
    case "straight":
    case "flex":
      return "length";
    case "transition":
      return number_first ? "to" : "type";
    case "elbow":
      if (number_first) return "angle";
      return /^(up|down|left|right|back|front)([-_ ](up|down|left|right|back|front))?$/i.test(value) ? "turn" : "type";
    case "damper":
    case "cap":
    case "screen":
    case "filter":
    case "entry":
    case "junction":
      return "type";
    default:
      return null;
  }
}

/** The key that a piece's bare value stands for; nothing where the piece has keys. */
export function bare_key(text: string, piece: Path): string | null {
  let node: Node | null = read(text).contents;
  for (const step of piece) node = child(node, step);
  return isScalar(node) && !is_empty(node) ? main_word(String(piece[piece.length - 1]), String(node.value)) : null;
}

// ---- set ---------------------------------------------------------------------------------------

export function set(text: string, path: Path, value: string): string {
  const root = readable(text).contents as Node | null;
  if (path.length === 0) throw new EditError("no key was named");
  if (root === null || is_empty(root)) return append_top(text, null, path, value);
  let parent: Node = root;
  for (let depth = 0; depth < path.length; depth += 1) {
    const step = path[depth]!;
    const rest = path.slice(depth + 1);
    if (isMap(parent)) {
      const pair: Entry | undefined = pair_of(parent, step);
      if (pair === undefined) return add_key(text, parent, depth === 0, String(step), nested(rest, value));
      if (rest.length === 0 || is_empty(pair.value)) return replace_value(text, pair, path, nested(rest, value));
      parent = pair.value!;
    } else if (isSeq(parent)) {
      const item: Node | null = child(parent, step);
      if (item === null) throw new EditError(`there is no item ${Number(step) + 1}`);
      if (rest.length === 0) return replace_item(text, item, value);
      parent = item;
    } else {
      return promote(text, parent, path, depth, value);
    }
  }
  return text;
}

/** A value under keys that are not there yet. */
function nested(keys: Path, value: string): string {
  return [...keys].reverse().reduce<string>((inner, key) => `{${String(key)}: ${inner}}`, value);
}

/** A bare value becomes the key it stands for, and another key stands beside it. */
function promote(text: string, scalar: Node, path: Path, depth: number, value: string): string {
  const key = String(path[depth]);
  const bare = String((scalar as { value?: unknown }).value ?? "");
  const main = main_word(String(path[depth - 1] ?? ""), bare);
  if (main === null || typeof path[depth] === "number") {
    throw new EditError(`\`${bare}\` has no key \`${key}\` beside it`);
  }
  const put = nested(path.slice(depth + 1), value);
  if (key_word(key) === main && path.length === depth + 1) return splice(text, begin(scalar), end(text, scalar), put);
  const source = text.slice(begin(scalar), end(text, scalar));
  const old = /^["']/.test(source) && !/[\r\n]/.test(source) ? source : plain_or_quoted(bare);
  return splice(text, begin(scalar), end(text, scalar), `{${main}: ${old}, ${key}: ${put}}`);
}

function replace_value(text: string, pair: Entry, path: Path, value: string): string {
  const colon = behind_colon(text, pair);
  if (colon === end(text, pair.key)) return splice(text, colon, colon, `: ${value}`);
  if (is_empty(pair.value)) return splice(text, colon, colon, ` ${value}`);
  const old = pair.value!;
  if (isMap(old)) {
    const merged = merge(text, old, path, value);
    if (merged !== null) return merged;
  }
  if ((isMap(old) || isSeq(old)) && !is_braced(text, old)) {
    // The comment behind the key stays, the lines of the old value go.
    const behind = text.slice(colon, line_end(text, colon));
    return text.slice(0, colon) + ` ${value}` + behind + text.slice(line_end(text, end(text, old)));
  }
  return splice(text, begin(old), end(text, old), value);
}

function replace_item(text: string, item: Node, value: string): string {
  const braced = text[begin(item)] === "{";
  const put = braced ? flow_item(value) : value;
  const gap = text[begin(item) - 1] === "-" ? " " : "";
  return splice(text, begin(item), end(text, item), gap + put);
}

/** Keys of one mapping over those of another, one by one, so that comments between them stay. */
function merge(text: string, old: YAMLMap, path: Path, value: string): string | null {
  const wanted = read(value);
  if (wanted.errors.length > 0 || !isMap(wanted.contents)) return null;
  const pairs = wanted.contents.items as Entry[];
  if (pairs.length === 0) return null;
  const source = (pair: Entry): string =>
    pair.value === null ? "" : value.slice(begin(pair.value), end(value, pair.value));
  let out = text;
  for (const pair of pairs) {
    const present = pair_of(old, key_of(pair));
    const now = present?.value ?? null;
    if (isScalar(now) && isScalar(pair.value) && String(now.value) === String(pair.value.value)) continue;
    out = set(out, [...path, key_of(pair)], source(pair));
  }
  for (const pair of old.items as Entry[]) {
    if (pair_of(wanted.contents, key_of(pair)) === undefined) out = remove(out, [...path, key_of(pair)]);
  }
  return out;
}

// ---- keys that are added -----------------------------------------------------------------------

const kTopOrder = [
  "layout", "title", "rules", "catalogue", "site", "appliance", "fan", "run", "branches", "house", "variants",
  "submitted", "measurements",
];

function add_key(text: string, map: YAMLMap, is_top: boolean, key: string, value: string): string {
  const pairs = map.items as Entry[];
  if (is_braced(text, map)) {
    const last = pairs[pairs.length - 1];
    if (last === undefined) return splice(text, begin(map) + 1, begin(map) + 1, `${key}: ${value}`);
    return splice(text, pair_end(text, last), pair_end(text, last), `, ${key}: ${value}`);
  }
  if ((map as { flow?: boolean }).flow) throw new EditError(`\`${key}\` fits only into braces here`);
  if (is_top) return append_top(text, map, [key], value);
  const last = pairs[pairs.length - 1]!;
  const behind = line_end(text, pair_end(text, last));
  const indent = " ".repeat(column(text, begin(map)));
  return splice(text, behind, behind, `${line_break(text)}${indent}${key}: ${value}`);
}

/** A new key of the whole file stands where such keys usually do, set off as the others are. */
function append_top(text: string, map: YAMLMap | null, path: Path, value: string): string {
  const eol = line_break(text);
  const key = String(path[0]);
  const inner = nested(path.slice(1), value);
  const opened = read(inner);
  // A section of one key opens as a block, so that the next keys find room.
  const only = isMap(opened.contents) && is_braced(inner, opened.contents) && opened.contents.items.length === 1;
  const put = only ? `${key}:${eol}  ${inner.slice(1, -1).trim()}` : `${key}: ${inner}`;
  if (map === null || map.items.length === 0) {
    const gap = text.length === 0 || text.endsWith("\n") ? "" : eol;
    return `${text}${gap}${put}${eol}`;
  }
  const rank = (name: string): number => {
    const found = kTopOrder.indexOf(key_word(name));
    return found < 0 ? kTopOrder.length : found;
  };
  const pairs = map.items as Entry[];
  const before = pairs.filter((pair) => rank(key_of(pair)) <= rank(key));
  const indent = " ".repeat(column(text, begin(map)));
  const lines = put.replace(/\n/g, `\n${indent}`);
  if (before.length === 0) return splice(text, begin(map), begin(map), `${lines}${eol}${indent}`);
  const after = before[before.length - 1]!;
  const behind = line_end(text, pair_end(text, after));
  const set_off = /\n[ \t]*\r?\n/.test(text) && only ? eol : "";
  return splice(text, behind, behind, `${eol}${set_off}${indent}${lines}`);
}

// ---- remove ------------------------------------------------------------------------------------

export function remove(text: string, path: Path): string {
  const parent_path = path.slice(0, -1);
  const step = path[path.length - 1]!;
  let parent: Node | null = readable(text).contents as Node | null;
  for (const each of parent_path) parent = child(parent, each);
  if (isSeq(parent)) {
    if (typeof step !== "number" || step >= parent.items.length) throw new EditError("there is no such item");
    return remove_item(text, parent, step, parent_path);
  }
  if (!isMap(parent)) {
    const bare = bare_key(text, parent_path);
    throw new EditError(bare === key_word(String(step)) ? "a piece keeps its main word" : "there is no such key");
  }
  const pairs = parent.items as Entry[];
  const index = pairs.findIndex((pair) => key_word(key_of(pair)) === key_word(String(step)));
  if (index < 0) throw new EditError(`there is no key \`${String(step)}\``);
  const pair = pairs[index]!;
  const from = begin(pair.key);
  if (is_braced(text, parent)) return cut_from_flow(text, from, pair_end(text, pair), index > 0 ? pair_end(text, pairs[index - 1]!) : null);
  if (pairs.length === 1) {
    if (parent_path.length === 0) throw new EditError("a layout keeps at least one key");
    return set_empty(text, parent, parent_path);
  }
  if (text.slice(line_start(text, from), from).trim() !== "" && index === 0) {
    // The first key stands behind a dash: the next one moves up to it.
    return splice(text, from, begin(pairs[1]!.key), "");
  }
  return cut_lines(text, from, pair_end(text, pair));
}

function set_empty(text: string, map: YAMLMap, path: Path): string {
  let holder: Node | null = read(text).contents as Node | null;
  for (const each of path.slice(0, -1)) holder = child(holder, each);
  const pair = isMap(holder) ? pair_of(holder, path[path.length - 1]!) : undefined;
  if (pair === undefined) return splice(text, begin(map), end(text, map), "{}");
  const colon = behind_colon(text, pair);
  return text.slice(0, colon) + " {}" + text.slice(colon, line_end(text, colon)) + text.slice(line_end(text, end(text, map)));
}

/** Whole lines, the break included; at the end of a text without a last break, the break before. */
function cut_lines(text: string, from: number, to: number): string {
  const start = line_start(text, from);
  const behind = next_line(text, line_end(text, to));
  if (behind < text.length || text.endsWith("\n")) return splice(text, start, behind, "");
  return splice(text, start > 0 ? line_end_before(text, start) : 0, behind, "");
}

function line_end_before(text: string, start: number): number {
  return text[start - 2] === "\r" ? start - 2 : start - 1;
}

/** One entry between braces or brackets, with one comma and the room it took. */
function cut_from_flow(text: string, from: number, to: number, previous_end: number | null): string {
  const comma = /^[ \t]*,/.exec(text.slice(to));
  if (comma !== null) {
    let behind = to + comma[0].length;
    while (text[behind] === " " || text[behind] === "\t") behind += 1;
    const alone = text.slice(line_start(text, from), from).trim() === "" && behind === line_end(text, behind);
    if (alone && behind < text.length) return splice(text, line_start(text, from), next_line(text, behind), "");
    return splice(text, from, behind, "");
  }
  if (previous_end === null) return splice(text, from, to, "");
  // The last one: the comma before it goes; a comment between the two stays.
  const between = text.slice(previous_end, from);
  const at_comma = between.indexOf(",");
  const kept = between.slice(0, at_comma) + between.slice(at_comma + 1);
  if (!kept.includes("#")) return splice(text, previous_end, to, "");
  const own_line = text.slice(line_start(text, from), from);
  const comment_follows = text.slice(to, line_end(text, to)).trim() !== "" && own_line.trim() === "";
  return splice(text, previous_end, to, comment_follows ? kept.trimEnd() + line_break(text) + own_line : kept.trimEnd());
}

// ---- items of a list ---------------------------------------------------------------------------

interface Chunk {
  start: number; ///< its dash, or its first character between brackets
  lead: number; ///< the first comment line that stands directly above it, else `start`
  content: number; ///< behind the dash
  end: number; ///< behind its last character and a comment on that line
  content_end: number;
}

function chunks(text: string, list: YAMLSeq): Chunk[] {
  const braced = is_braced(text, list);
  const tokens = (list.srcToken as { items?: { start: { type: string; offset: number }[] }[] } | undefined)?.items ?? [];
  const found: Chunk[] = [];
  (list.items as Node[]).forEach((item, index) => {
    const content_end = end(text, item);
    if (braced) {
      found.push({ start: begin(item), lead: begin(item), content: begin(item), end: content_end, content_end });
      return;
    }
    const dash = tokens[index]?.start.find((token) => token.type === "seq-item-ind")?.offset ?? begin(item) - 2;
    const behind = Math.max(content_end, dash + 1);
    found.push({
      start: dash,
      lead: comments_above(text, dash, found[index - 1]?.end ?? 0),
      content: begin(item),
      end: line_end(text, behind),
      content_end: behind,
    });
  });
  return found;
}

/** The first of the comment lines directly above a dash, at its own indent. */
function comments_above(text: string, dash: number, floor: number): number {
  const indent = text.slice(line_start(text, dash), dash);
  let lead = dash;
  let start = line_start(text, dash);
  while (start > floor) {
    const above = line_start(text, start - 1);
    const line = text.slice(above, start);
    if (above <= floor || !line.startsWith(`${indent}#`)) break;
    lead = above + indent.length;
    start = above;
  }
  return lead;
}

function list_at(text: string, path: Path): { list: YAMLSeq; index: number } {
  let node: Node | null = readable(text).contents as Node | null;
  for (const each of path.slice(0, -1)) node = child(node, each);
  const index = path[path.length - 1];
  if (!isSeq(node) || typeof index !== "number") throw new EditError("there is no list here");
  return { list: node, index };
}

export function insert(text: string, path: Path, value: string): string {
  const parent = path.slice(0, -1);
  let node: Node | null = readable(text).contents as Node | null;
  for (const each of parent) node = child(node, each);
  if (node === null || is_empty(node)) return set(text, parent, `[${flow_item(value)}]`);
  const { list, index } = list_at(text, path);
  const parts = chunks(text, list);
  const eol = line_break(text);
  if (is_braced(text, list)) {
    const item = flow_item(value);
    if (parts.length === 0) return splice(text, begin(list) + 1, begin(list) + 1, item);
    const own_line = (at_: number): boolean => text.slice(line_start(text, at_), at_).trim() === "";
    if (index < parts.length) {
      const before = parts[index]!.start;
      const gap = own_line(before) ? `,${eol}${text.slice(line_start(text, before), before)}` : ", ";
      return splice(text, before, before, item + gap);
    }
    const last = parts[parts.length - 1]!;
    const gap = own_line(last.start) ? `,${eol}${text.slice(line_start(text, last.start), last.start)}` : ", ";
    return splice(text, last.end, last.end, gap + item);
  }
  const first = parts[0]!;
  const indent = " ".repeat(column(text, first.start));
  const item = `- ${item_text(value)}`;
  if (index === 0) return splice(text, first.lead, first.lead, `${item}${eol}${indent}`);
  const behind = parts[Math.min(index, parts.length) - 1]!.end;
  return splice(text, behind, behind, `${eol}${indent}${item}`);
}

function remove_item(text: string, list: YAMLSeq, index: number, path: Path): string {
  const parts = chunks(text, list);
  const part = parts[index]!;
  if (is_braced(text, list)) {
    return cut_from_flow(text, part.start, part.end, index > 0 ? parts[index - 1]!.end : null);
  }
  if (parts.length === 1) {
    let holder: Node | null = read(text).contents as Node | null;
    for (const each of path.slice(0, -1)) holder = child(holder, each);
    const pair = isMap(holder) ? pair_of(holder, path[path.length - 1]!) : undefined;
    if (pair === undefined) throw new EditError("a list keeps its last item");
    const colon = behind_colon(text, pair);
    const cut = cut_lines(text, part.start, part.content_end);
    return splice(cut, colon, colon, " []");
  }
  return cut_lines(text, part.start, part.content_end);
}

export function move(text: string, path: Path, to: number): string {
  const { list, index } = list_at(text, path);
  if (to < 0 || to >= list.items.length) throw new EditError("there is no place to move to");
  let out = text;
  for (let here = index; here !== to; here += Math.sign(to - here)) {
    out = swap(out, path.slice(0, -1), Math.min(here, here + Math.sign(to - here)));
  }
  return out;
}

function swap(text: string, path: Path, index: number): string {
  const { list } = list_at(text, [...path, index]);
  const parts = chunks(text, list);
  const a = parts[index]!;
  const b = parts[index + 1]!;
  return (
    text.slice(0, a.lead) + text.slice(b.lead, b.end) + text.slice(a.end, b.lead) + text.slice(a.lead, a.end) +
    text.slice(b.end)
  );
}

/** A copy behind the item; the comment on its last line is not copied. */
export function duplicate(text: string, path: Path): string {
  const { list, index } = list_at(text, path);
  const part = chunks(text, list)[index];
  if (part === undefined) throw new EditError("there is no such item");
  const copy = text.slice(part.start, part.content_end);
  if (is_braced(text, list)) return splice(text, part.end, part.end, `, ${copy}`);
  const indent = " ".repeat(column(text, part.start));
  return splice(text, part.end, part.end, `${line_break(text)}${indent}${copy}`);
}
