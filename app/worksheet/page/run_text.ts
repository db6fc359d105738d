// The pieces of a run as they stand in the text, whether it can be calculated or not.
import { isMap, isScalar, isSeq } from "yaml";
import type { Piece, System, View } from "./answers";
import { bare_key } from "./edit";
import type { Path } from "./edit";
import { at, key_of, key_word, text_at } from "./yaml_text";

export const kPieces: Path = ["run", "pieces"];

export interface Written {
  index: number;
  kind: string;
  /** A bare value, or the keys in one line. */
  value: string;
}

export function pieces_in(text: string): Written[] {
  const list = at(text, kPieces);
  if (!isSeq(list)) return [];
  return list.items.map((item, index) => {
    if (isMap(item) && item.items.length > 0) {
      const pair = item.items[0]!;
      return { index, kind: key_of(pair), value: in_one_line(pair.value) };
    }
    return { index, kind: isScalar(item) ? String(item.value) : "", value: "" };
  });
}

function in_one_line(node: unknown, depth = 0): string {
  if (isScalar(node)) return String(node.value ?? "");
  if (depth > 2) return "\u2026";
  if (isMap(node)) return node.items.map((pair) => `${key_of(pair)} ${in_one_line(pair.value, depth + 1)}`).join(", ");
  if (isSeq(node)) return node.items.map((item) => in_one_line(item, depth + 1)).join(", ");
  return "";
}

/** The answer about a piece, where the last answer is about the same kind at the same place. */
export function answered(view: View | null, piece: Written): Piece | null {
  const found = view?.pieces.find((one) => one.index === piece.index) ?? null;
  return found !== null && key_word(found.kind) === key_word(piece.kind) ? found : null;
}

export function field_path(piece: Written, key: string): Path {
  return [...kPieces, piece.index, piece.kind, key];
}

/** What stands in the text for a key; the bare value of a piece counts as the key it stands for. */
export function stated_at(text: string, path: Path): string | null {
  const holder = path.slice(0, -1);
  const is_bare = bare_key(text, holder) === key_word(String(path[path.length - 1]));
  return text_at(text, is_bare ? holder : path);
}

/** Whether a fault at a path belongs to a field. */
export function is_at(text: string, fault: Path, field: Path): boolean {
  const word = (step: string | number): string => (typeof step === "number" ? String(step) : key_word(step));
  const same = field.every((step, n) => fault[n] !== undefined && word(fault[n]!) === word(step));
  if (same) return true;
  const holder = field.slice(0, -1);
  return fault.length === holder.length && holder.every((step, n) => word(fault[n]!) === word(step)) &&
    bare_key(text, holder) === word(field[field.length - 1]!);
}

/** Where the run heads before a piece, by the words of its turns. */
function heading_before(text: string, index: number): string {
  let heading = text_at(text, ["run", "heading"]) ?? "";
  for (const piece of pieces_in(text).slice(0, index)) {
    if (key_word(piece.kind) !== "elbow") continue;
    const turn = stated_at(text, field_path(piece, "turn"));
    if (turn !== null && turn !== "") heading = turn;
  }
  return heading;
}

/** A piece to begin with, as it stands behind its dash. */
export function first_form(text: string, index: number, kind: string, system: System, sections: string[]): string {
  switch (kind) {
    case "straight":
      return system === "ip" ? "straight: 2 ft" : "straight: 500 mm";
    case "flex":
      return system === "ip" ? "flex: {length: 3 ft, stretched: 95 %}" : "flex: {length: 1 m, stretched: 95 %}";
    case "elbow": {
      const heading = heading_before(text, index);
      if (heading === "") return "elbow: {angle: 90 deg}";
      return `elbow: ${/up|down/.test(heading) ? "back" : "up"}`;
    }
    case "transition":
      return `transition: ${sections[0] ?? "6 in round"}`;
    case "damper":
      return "damper: backdraft-flap";
    case "cap":
      return "cap: wall-hood-flap";
    case "filter":
      return "filter: mesh";
    case "screen":
      return "screen: mesh";
    case "entry":
      return "entry: plain";
    default:
      return "loss: {coefficient: 0.5}";
  }
}
