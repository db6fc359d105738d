// YAML's characters, read by the package `yaml` and handed to the engine as records: see
// engine/events_of_page.cpp. What they mean is decided there, as in the program.

import { isAlias, isMap, isScalar, isSeq, parseAllDocuments, Scalar } from "yaml";
import type { Document, YAMLError } from "yaml";

const NULLS = new Set(["", "~", "null", "Null", "NULL"]);
const UTF8 = new TextEncoder();
const HEAD_BYTES = 10;

/** Complaints of the package, as the engine names them by a letter. */
function complaint(error: YAMLError): string {
  switch (error.code) {
    case "TAB_AS_INDENT":
      return "t";
    case "BAD_DQ_ESCAPE":
      return "e";
    case "BAD_ALIAS":
    case "ALIAS_PROPS":
      return "a";
    case "MULTIPLE_ANCHORS":
      return "n";
    case "MULTIPLE_TAGS":
    case "TAG_RESOLVE_FAILED":
      return "g";
    case "BAD_SCALAR_START":
      return "x";
    case "BLOCK_AS_IMPLICIT_KEY":
    case "MULTILINE_IMPLICIT_KEY":
      return "c";
    case "BLOCK_IN_FLOW":
      return "b";
    case "MISSING_CHAR":
      return /quote/.test(error.message) ? "q" : /flow|Flow|[\]}]/.test(error.message) ? "b" : "s";
    default:
      return /Unresolved alias/.test(error.message) ? "a" : "s";
  }
}

interface Record {
  kind: string;
  flags: number;
  at: number; // in UTF-16 units
  text: string;
}

class Walk {
  readonly records: Record[] = [];

  /** Where an alias stands whose anchor is not known: no more is read. */
  unknown: number | null = null;
  private readonly anchors = new Set<string>();

  constructor(
    private readonly text: string,
    private end: number,
  ) {}

  add(kind: string, at: number, flags = 0, text = ""): void {
    this.records.push({ kind, flags, at, text });
  }

  document(document: Document.Parsed): void {
    const contents = document.contents;
    this.add("D", contents?.range?.[0] ?? 0);
    this.node(contents, contents?.range?.[0] ?? 0);
  }

  /** @param from where an absent node would begin */
  private node(node: unknown, from: number): number {
    const begin = this.begin(node, from);
    if (isAlias(node)) {
      if (!this.anchors.has(node.source) && this.unknown === null && begin < this.end) {
        this.unknown = begin;
        this.end = begin;
      }
      return this.leaf("A", node.range?.[0] ?? from, 0, "", node.range?.[1]);
    }
    if (isScalar(node)) {
      const at = begin;
      const plain = node.type === Scalar.PLAIN || node.type === undefined;
      const text = typeof node.value === "string" ? node.value : String(node.value ?? "");
      const flags = marks(node) + (plain ? 0 : 4);
      return plain && NULLS.has(node.source ?? text)
        ? this.leaf("N", node.source || marks(node) ? at : this.next(at), flags, "", node.range?.[1])
        : this.leaf("S", at, flags, text, node.range?.[1]);
    }
    if (isMap(node) || isSeq(node)) {
      const at = begin;
      if (at >= this.end) {
        return at;
      }
      this.add(isMap(node) ? "M" : "L", at, marks(node));
      let last = at;
      for (const item of node.items) {
        if (isMap(node)) {
          const pair = item as { key: unknown; value: unknown };
          last = this.node(pair.key, last);
          last = this.node(pair.value, last + 1);
        } else {
          last = this.node(item, last);
        }
      }
      this.add("E", node.range?.[1] ?? last);
      return Math.max(last, node.range?.[1] ?? last);
    }
    return this.leaf("N", this.next(from), 0, "", from);
  }

  /** Where a node begins, its anchor and its tag before it. */
  private begin(node: unknown, from: number): number {
    const { range, anchor, tag } = (node ?? {}) as Marked;
    if (anchor) {
      this.anchors.add(anchor);
    }
    const at = range?.[0] ?? from;
    const before = [anchor ? this.text.lastIndexOf(`&${anchor}`, at) : -1];
    const mark = tag && tag !== "!" ? this.text.lastIndexOf("!", at) : -1;
    before.push(mark > 0 && this.text[mark - 1] === "!" ? mark - 1 : mark);
    return Math.min(at, ...before.filter((place) => place >= 0));
  }

  private leaf(kind: string, at: number, flags: number, text: string, end?: number): number {
    if (at < this.end || this.end === this.text.length) {
      this.add(kind, at, flags, text);
    }
    return end ?? at;
  }

  /** The next character that is neither blank nor comment: there an empty value is told. */
  private next(from: number): number {
    let at = from;
    for (;;) {
      while (at < this.text.length && /\s/.test(this.text[at]!)) {
        ++at;
      }
      if (this.text[at] !== "#") {
        return at;
      }
      while (at < this.text.length && this.text[at] !== "\n") {
        ++at;
      }
    }
  }
}

interface Marked {
  range?: [number, number, number] | null;
  anchor?: string;
  tag?: string;
}

function marks(node: Marked): number {
  return (node.anchor ? 1 : 0) + (node.tag && node.tag !== "!" ? 2 : 0);
}

/** The UTF-8 offset of each UTF-16 one; nothing where they are the same. */
function offsets(text: string): Uint32Array | null {
  // eslint-disable-next-line no-control-regex
  if (/^[\x00-\x7f]*$/.test(text)) {
    return null;
  }
  const table = new Uint32Array(text.length + 1);
  let bytes = 0;
  for (let i = 0; i < text.length; ++i) {
    table[i] = bytes;
    const unit = text.charCodeAt(i);
    const pair = unit >= 0xd800 && unit < 0xdc00;
    bytes += unit < 0x80 ? 1 : unit < 0x800 ? 2 : pair ? 4 : unit >= 0xdc00 && unit < 0xe000 ? 0 : 3;
  }
  table[text.length] = bytes;
  return table;
}

function read(text: string): Record[] {
  const documents = parseAllDocuments(text, {
    schema: "failsafe",
    keepSourceTokens: true,
    uniqueKeys: false,
    strict: true,
    logLevel: "silent",
  }) as Document.Parsed[];
  const list = Array.isArray(documents) ? documents : [];
  const errors = list.flatMap((document) => document.errors).sort((a, b) => a.pos[0] - b.pos[0]);
  const first = errors[0];
  const walk = new Walk(text, first ? first.pos[0] : text.length);
  for (const document of list) {
    walk.document(document);
  }
  if (walk.unknown !== null) {
    walk.add("U", walk.unknown, 0, "a");
  } else if (first) {
    const said = complaint(first);
    walk.add("U", first.pos[0] + (said === "e" ? 2 : 0), 0, said);
  }
  return walk.records;
}

/** What the package meets in a text, as the bytes of the engine's records. */
export function events(text: string): Uint8Array {
  const table = offsets(text);
  const records = read(text);
  const words = records.map((record) => (record.text ? UTF8.encode(record.text) : null));
  let size = 0;
  for (const bytes of words) {
    size += HEAD_BYTES + (bytes?.length ?? 0);
  }
  const out = new Uint8Array(size);
  const view = new DataView(out.buffer);
  let at = 0;
  records.forEach((record, i) => {
    const bytes = words[i];
    out[at] = record.kind.charCodeAt(0);
    out[at + 1] = record.flags;
    view.setUint32(at + 2, table ? table[Math.min(record.at, text.length)]! : record.at, true);
    view.setUint32(at + 6, bytes?.length ?? 0, true);
    if (bytes) {
      out.set(bytes, at + HEAD_BYTES);
    }
    at += HEAD_BYTES + (bytes?.length ?? 0);
  });
  return out;
}
