// Before a layout is open: work that was kept, a file, or three questions that make a first route.
import { useState } from "preact/hooks";
import { failed } from "./answers";
import type { Fault } from "./answers";
import { forget, kept_work } from "./kept";
import { outlets } from "./outlets";
import type { Outlet } from "./outlets";
import type { Sheet } from "./sheet";

interface Given {
  kind: string;
  airflow: string;
  pressure: string;
  collar: string;
  up: string;
  sideways: string;
  out: string;
  required: string;
}

const kKinds = [
  { value: "range-hood", words: "range hood" },
  { value: "bath-fan", words: "bath fan" },
  { value: "clothes-dryer", words: "clothes dryer" },
  { value: "exhaust", words: "another exhaust fan" },
];

const kLabel = [
  { key: "airflow", label: "Airflow", like: "400 cfm" },
  { key: "pressure", label: "at a pressure of", like: "0.1 inH2O; empty for a free-air figure" },
  { key: "collar", label: "Duct collar", like: "8 in round" },
] as const;

const kMeasured = [
  { key: "up", label: "Up", like: "4 ft" },
  { key: "sideways", label: "Sideways", like: "9 ft 6 in" },
  { key: "out", label: "Out to the open", like: "2 ft" },
  { key: "required", label: "Airflow that is wanted", like: "300 cfm" },
] as const;

export function Start({ sheet, pick }: { sheet: Sheet; pick: () => void }) {
  const [outlet, set_outlet] = useState<Outlet["value"] | null>(null);
  const [given, set_given] = useState<Given>({
    kind: "range-hood", airflow: "", pressure: "", collar: "", up: "", sideways: "", out: "", required: "",
  });
  const [faults, set_faults] = useState<(Fault & { field?: string })[]>([]);
  const [kept, set_kept] = useState(kept_work);

  const begin = (event: Event): void => {
    event.preventDefault();
    const { kind, airflow, pressure, collar, up, sideways, out, required } = given;
    const answer = sheet.ask<{ text: string }>({
      ask: "starter", outlet: outlet ?? "unknown", label: { kind, airflow, pressure, collar }, measured: { up, sideways, out, required },
    });
    if (answer === null) return;
    if (failed(answer)) set_faults(answer.errors as (Fault & { field?: string })[]);
    else sheet.open(answer.text, "my-route.yaml");
  };
  const box = (group: string, { key, label, like }: { key: keyof Given; label: string; like: string }) => {
    const fault = faults.find((one) => one.field === `${group}.${key}`);
    return (
      <label key={key} class={fault ? "field faulty" : "field"}>
        {label}
        <input type="text" value={given[key]} placeholder={like} autocomplete="off" aria-invalid={fault !== undefined}
               onInput={(event) => set_given({ ...given, [key]: event.currentTarget.value })} />
        {fault && <span class="fault">{fault.message}{fault.help ? `; ${fault.help}` : ""}</span>}
      </label>
    );
  };

  return (
    <main id="main" class="start">
      <h1>What will this duct run deliver?</h1>
      <p class="lead">Three answers make a first route. Every one of them can be changed afterwards.</p>
      {kept.length > 0 && (
        <section aria-labelledby="kept-heading">
          <h2 id="kept-heading">Not saved last time</h2>
          <ul class="rows">
            {kept.map(({ slot, work }) => (
              <li key={slot}>
                <p><strong>{work.title || work.file}</strong> <span class="quiet">{work.a.done + (work.b?.done ?? 0)} changes</span></p>
                <span class="acts">
                  <button type="button" onClick={() => sheet.take_up(slot, work)}>Take it up again</button>
                  <button type="button" aria-label={`Forget ${work.title || work.file}`} onClick={() => { forget(slot); set_kept(kept_work()); }}>Forget it</button>
                </span>
              </li>
            ))}
          </ul>
        </section>
      )}
      <form onSubmit={begin}>
        <fieldset>
          <legend><span class="ask">1</span> How does the air leave?</legend>
          <div class="outlets">
            {outlets.map((one) => (
              <label key={one.value} class="outlet">
                <input type="radio" name="outlet" value={one.value} checked={outlet === one.value} onChange={() => set_outlet(one.value)} />
                {one.picture}
                <strong>{one.words}</strong>
                <span class="quiet">{one.under}</span>
              </label>
            ))}
          </div>
          <label class="plain-choice">
            <input type="radio" name="outlet" value="unknown" checked={outlet === "unknown"} onChange={() => set_outlet("unknown")} /> I do not know yet
          </label>
        </fieldset>
        <fieldset>
          <legend><span class="ask">2</span> What is on the fan's label?</legend>
          <p class="quiet">Copy it with its units. What is not there stays empty.</p>
          <div class="given">
            <label class="field">
              It is a
              <select value={given.kind} onChange={(event) => set_given({ ...given, kind: event.currentTarget.value })}>
                {kKinds.map((one) => <option key={one.value} value={one.value}>{one.words}</option>)}
              </select>
            </label>
            {kLabel.map((one) => box("label", one))}
          </div>
        </fieldset>
        <fieldset>
          <legend><span class="ask">3</span> What is measured?</legend>
          <p class="quiet">From the collar on, with a tape. A guess is taken and can be corrected.</p>
          <div class="given">{kMeasured.map((one) => box("measured", one))}</div>
        </fieldset>
        {faults.filter((one) => !one.field).map((one) => <p key={one.message} class="fault" role="alert">{one.message}{one.help ? `; ${one.help}` : ""}</p>)}
        <p class="acts">
          <button type="submit" class="main" disabled={outlet === null}>Make the first route</button>
          <button type="button" onClick={pick}>Open a layout file</button>
        </p>
      </form>
      <p class="quiet">A layout file can also be dropped on this page. Everything is calculated on this device, without a network.</p>
    </main>
  );
}
