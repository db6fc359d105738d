// The list of pieces from the collar on, each with its own fields and buttons.
import { useEffect, useMemo, useRef } from "preact/hooks";
import type { Fault } from "./answers";
import { useCatalogue } from "./basics";
import { KeyBox } from "./key_box";
import { answered, field_path, first_form, is_at, kPieces, pieces_in } from "./run_text";
import type { Written } from "./run_text";
import type { Sheet } from "./sheet";

const kKinds = ["straight", "elbow", "flex", "transition", "damper", "cap", "filter", "screen", "loss"];

export function Pieces({ sheet }: { sheet: Sheet }) {
  const text = sheet.text;
  const pieces = useMemo(() => pieces_in(text), [text]);
  const { sections } = useCatalogue(sheet);
  return (
    <section class="pieces" aria-labelledby="pieces-heading">
      <h2 id="pieces-heading">Pieces, from the collar on</h2>
      {pieces.length === 0 && <Adder sheet={sheet} index={0} words="Begin with" sections={sections} open />}
      <ol>
        {pieces.map((piece) => (
          <Item key={piece.index} sheet={sheet} piece={piece} count={pieces.length} sections={sections} />
        ))}
      </ol>
    </section>
  );
}

interface ItemProps {
  sheet: Sheet;
  piece: Written;
  count: number;
  sections: string[];
}

function faults_of(sheet: Sheet, piece: Written): Fault[] {
  const here = [...kPieces, piece.index];
  return sheet.state.faults.filter((_, n) => here.every((step, k) => sheet.state.fault_paths[n]?.[k] === step));
}

function Item({ sheet, piece, count, sections }: ItemProps) {
  const { view, selected, faults } = sheet.state;
  const open = selected === piece.index;
  const known = answered(view, piece);
  const fresh = faults.length === 0 ? known : null;
  const own = faults_of(sheet, piece);
  const fields = (known?.fields ?? []).filter((field) => field.key !== "");
  const faults_at = (key: string): Fault[] =>
    faults.filter((_, n) => is_at(sheet.text, sheet.state.fault_paths[n] ?? [], field_path(piece, key)));
  const loose = own.filter((one) => !fields.some((field) => faults_at(field.key).includes(one)));
  const row = useRef<HTMLLIElement>(null);
  useEffect(() => {
    if (open) row.current?.scrollIntoView?.({ block: "nearest" });
  }, [open]);
  const name = `piece-${piece.index}`;
  return (
    <li ref={row} class={`piece${open ? " open" : ""}${known?.costliest ? " most" : ""}${own.length > 0 ? " faulty" : ""}`}>
      <button type="button" class="row" aria-expanded={open} aria-controls={name}
              onClick={() => sheet.select(open ? null : piece.index)}>
        <span class="number">{piece.index + 1}</span>
        <span class="what">{fresh ? [fresh.words, fresh.length].filter(Boolean).join(" ") : `${piece.kind} ${piece.value}`}</span>
        <span class="share">{own.length > 0 ? "error" : fresh?.share_words ?? ""}</span>
        {fresh && <meter class="bar" min={0} max={1} value={Math.max(0, fresh.share ?? 0)} aria-hidden="true" />}
      </button>
      {open && (
        <div class="fields" id={name}>
          {fresh && <p class="note">{[fresh.section, fresh.loss && `costs ${fresh.loss}`].filter(Boolean).join(", ")}</p>}
          {fields.map((field) => (
            <KeyBox key={field.key} sheet={sheet} path={field_path(piece, field.key)} of={title_of(piece)} label={field.label}
                    value={field.value} dimension={field.dimension} choices={field.choices} />
          ))}
          {loose.length > 0 && <p class="fault">{loose.map((one) => <span key={one.rendered}>{one.message}{one.help ? `; ${one.help}` : ""}</span>)}</p>}
          <div class="acts">
            <button type="button" disabled={piece.index === 0} onClick={() => shift(sheet, piece, -1)}>Toward the collar</button>
            <button type="button" disabled={piece.index === count - 1} onClick={() => shift(sheet, piece, 1)}>Toward the end</button>
            <button type="button" onClick={() => copy(sheet, piece)}>Duplicate</button>
            <button type="button" disabled={count === 1} onClick={() => take_out(sheet, piece, count)}>Remove</button>
          </div>
          <Adder sheet={sheet} index={piece.index} words="Add a piece before" sections={sections} />
          <Adder sheet={sheet} index={piece.index + 1} words="Add a piece after" sections={sections} />
        </div>
      )}
    </li>
  );
}

function title_of(piece: Written): string {
  return `piece ${piece.index + 1} (${piece.kind})`;
}

/** The changed list is drawn, then the piece that is open has the focus: no key press is lost. */
function show_open(sheet: Sheet, index: number): void {
  sheet.select(index);
  requestAnimationFrame(() => document.querySelector<HTMLElement>(".piece.open .row")?.focus({ preventScroll: true }));
}

function shift(sheet: Sheet, piece: Written, by: 1 | -1): void {
  const to = piece.index + by;
  const words = `${title_of(piece)} moved to place ${to + 1}`;
  if (sheet.change([{ op: "move", path: [...kPieces, piece.index], to }], words)) show_open(sheet, to);
}

function copy(sheet: Sheet, piece: Written): void {
  const words = `${title_of(piece)} duplicated`;
  if (sheet.change([{ op: "duplicate", path: [...kPieces, piece.index] }], words)) show_open(sheet, piece.index + 1);
}

function take_out(sheet: Sheet, piece: Written, count: number): void {
  const words = `${title_of(piece)} removed`;
  if (sheet.change([{ op: "remove", path: [...kPieces, piece.index] }], words)) show_open(sheet, Math.min(piece.index, count - 2));
}

interface AdderProps {
  sheet: Sheet;
  index: number;
  words: string;
  sections: string[];
  open?: boolean;
}

function Adder({ sheet, index, words, sections, open = false }: AdderProps) {
  const add = (kind: string): void => {
    const value = first_form(sheet.text, index, kind, sheet.state.view?.system ?? "ip", sections);
    if (sheet.change([{ op: "insert", path: [...kPieces, index], value }], `${kind} added as piece ${index + 1}`)) {
      show_open(sheet, index);
    }
  };
  return (
    <details class="adder" open={open}>
      <summary>{words}</summary>
      <div class="acts">
        {kKinds.map((kind) => <button key={kind} type="button" onClick={() => add(kind)}>{kind}</button>)}
      </div>
    </details>
  );
}
