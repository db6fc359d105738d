// What holds for the whole run, and where the house stands.
import { useMemo } from "preact/hooks";
import type { SiteField } from "./answers";
import { KeyBox, put_key } from "./key_box";
import type { Sheet } from "./sheet";

interface Catalogue {
  sections?: string[];
  materials?: string[];
  turns?: string[];
}

/** Sizes, materials and directions: asked once. */
export function useCatalogue(sheet: Sheet): Required<Catalogue> {
  const system = sheet.state.view?.system ?? "ip";
  return useMemo(() => {
    const said = sheet.ask<Catalogue>({ ask: "catalogue", system });
    return { sections: said?.sections ?? [], materials: said?.materials ?? [], turns: said?.turns ?? [] };
  }, [sheet, system]);
}

const choices = (words: string[]) => words.map((value) => ({ value, words: value.replace(/-/g, " "), note: "" }));

export function Run({ sheet }: { sheet: Sheet }) {
  const { sections, materials, turns } = useCatalogue(sheet);
  const sizes = sections.map((value) => ({ value, words: value, note: "" }));
  const required = sheet.state.view?.answer.required ?? "";
  return (
    <section class="run" aria-labelledby="run-heading">
      <h2 id="run-heading">The run as a whole</h2>
      <div class="given">
        <KeyBox sheet={sheet} path={["appliance", "required_airflow"]} label="airflow required" value={required} dimension="airflow" />
        <KeyBox sheet={sheet} path={["appliance", "collar"]} label="collar" value="" dimension="section" choices={sizes} />
        <KeyBox sheet={sheet} path={["run", "section"]} label="duct size from the collar on" value="as the collar" dimension="section" choices={sizes} />
        <KeyBox sheet={sheet} path={["run", "material"]} label="material" value="" dimension="choice" choices={choices(materials)} />
        <KeyBox sheet={sheet} path={["run", "heading"]} label="leaves the collar" value="" dimension="choice" choices={choices(turns)} />
      </div>
    </section>
  );
}

export function Site({ sheet }: { sheet: Sheet }) {
  const fields = sheet.state.view?.site ?? [];
  if (fields.length === 0) return null;
  return (
    <section class="site" aria-labelledby="site-heading">
      <h2 id="site-heading">Where it stands</h2>
      {fields.map((field) => <SiteBox key={field.path} sheet={sheet} field={field} />)}
    </section>
  );
}

function SiteBox({ sheet, field }: { sheet: Sheet; field: SiteField }) {
  const path = field.path.split(".");
  const now = `${field.number} ${field.unit}`;
  return (
    <div class="site-field">
      <KeyBox sheet={sheet} path={path} label={field.label} value={now} dimension="" />
      <input type="range" aria-label={`${field.label}, ${field.unit}, slider`} aria-valuetext={now} min={field.low} max={field.high}
             step={field.step} value={field.number} onInput={(event) => put_key(sheet, path, field.label, `${event.currentTarget.value} ${field.unit}`)}
             onChange={() => sheet.settle()} />
    </div>
  );
}
