// Where the house stands: number boxes with sliders.
import type { SiteField } from "./answers";
import { FieldBox } from "./field_box";
import { is_at } from "./run_text";
import { plain_or_quoted } from "./quote";
import type { Sheet } from "./sheet";
import { text_at } from "./yaml_text";

export function Site({ sheet }: { sheet: Sheet }) {
  const fields = sheet.state.view?.site ?? [];
  if (fields.length === 0) return null;
  return (
    <section class="site" aria-labelledby="site-heading">
      <h2 id="site-heading">Where it stands</h2>
      {fields.map((field) => <SiteBox key={field.path.join("/")} sheet={sheet} field={field} />)}
    </section>
  );
}

function SiteBox({ sheet, field }: { sheet: Sheet; field: SiteField }) {
  const { faults, fault_paths } = sheet.state;
  const name = field.path.join("/");
  const put = (value: string): void => {
    const before = text_at(sheet.text, field.path);
    if (value === "" && before === null) return;
    const words = `${field.label}: from ${before ?? "not stated"} to ${value || "not stated"}`;
    sheet.change(value === "" ? [{ op: "remove", path: field.path }] : [{ op: "set", path: field.path, value: plain_or_quoted(value) }], words, name);
  };
  const parts = /^(-?[\d.]+)\s*(.*)$/.exec(field.value);
  const unit = parts?.[2] ?? "";
  return (
    <div class="site-field">
      <FieldBox sheet={sheet} label={field.label} stated={text_at(sheet.text, field.path)} value={field.value}
                dimension="" faults={faults.filter((_, n) => is_at(sheet.text, fault_paths[n] ?? [], field.path))} put={put} />
      <input type="range" aria-label={`${field.label}, slider, ${unit}`} aria-valuetext={field.value} min={field.low} max={field.high} step={field.step}
             value={Number(parts?.[1] ?? field.low)} onInput={(event) => put(`${event.currentTarget.value} ${unit}`.trim())}
             onChange={() => sheet.settle()} />
    </div>
  );
}
