// A box for one key of the layout, wherever it stands: it shows the text and edits the text.
import type { Choice } from "./answers";
import type { Path } from "./edit";
import { FieldBox } from "./field_box";
import { plain_or_quoted } from "./quote";
import { is_at, stated_at } from "./run_text";
import type { Sheet } from "./sheet";

interface Props {
  sheet: Sheet;
  path: Path;
  label: string;
  /** What the history calls the holder of the key; nothing for a key that explains itself. */
  of?: string;
  /** What holds where the layout does not state the key. */
  value: string;
  dimension: string;
  choices?: Choice[] | undefined;
}

export function KeyBox({ sheet, path, label, of = "", value, dimension, choices }: Props) {
  return (
    <FieldBox sheet={sheet} label={label} stated={stated_at(sheet.text, path)} value={value} dimension={dimension} choices={choices}
              faults={sheet.state.faults.filter((_, n) => is_at(sheet.text, sheet.state.fault_paths[n] ?? [], path))}
              put={(text) => put_key(sheet, path, of === "" ? label : `${of}, ${label}`, text)} />
  );
}

/** Sets a key; an empty text takes it out, where a piece can do without. */
export function put_key(sheet: Sheet, path: Path, name: string, text: string): void {
  const before = stated_at(sheet.text, path);
  if (text === (before ?? "")) return;
  const words = `${name}: from ${before === null ? "not stated" : before || "nothing"} to ${text || "not stated"}`;
  const field = path.join("/");
  if (text === "" && sheet.change([{ op: "remove", path }], words, field)) return;
  sheet.change([{ op: "set", path, value: plain_or_quoted(text) }], words, field);
}
