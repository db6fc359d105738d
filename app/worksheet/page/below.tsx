// What stands under the drawing: chart, what would help, ledger, house, findings, rules.
import { Html } from "./html";
import { Tappable } from "./drawing";
import type { AdviceRow, Fault } from "./answers";
import type { Sheet } from "./sheet";

export function Chart({ sheet }: { sheet: Sheet }) {
  const { view, difference, side, b } = sheet.state;
  const curves = view?.pictures.curves;
  if (!curves) return null;
  const with_ = b !== null && side === "b" ? "route A" : "the file I opened";
  return (
    <section class="chart" aria-labelledby="chart-heading">
      <h2 id="chart-heading">Fan and run</h2>
      {difference !== null && (
        <p class="difference">Compared with {with_}: <strong>{difference.words || difference.why_not}</strong></p>
      )}
      <Html class="picture-box" html={curves} />
    </section>
  );
}

function Profile({ sheet }: { sheet: Sheet }) {
  const { view, selected } = sheet.state;
  const pressure = view?.pictures.pressure;
  if (!pressure) return null;
  return (
    <section class="profile" aria-labelledby="profile-heading">
      <h2 id="profile-heading">Pressure along the run</h2>
      <Tappable sheet={sheet} svg={pressure} selected={selected} />
    </section>
  );
}

export function Help({ sheet }: { sheet: Sheet }) {
  const { advice, advice_of, faults } = sheet.state;
  const old = advice !== null && advice_of !== sheet.text;
  const rows = advice === null ? [] : [...advice.rows, ...(advice.best_pair ? [advice.best_pair] : [])];
  return (
    <section class="help" aria-labelledby="help-heading" aria-busy={old || (advice === null && faults.length === 0)}>
      <h2 id="help-heading">What would help</h2>
      {advice === null && <p class="quiet">{faults.length > 0 ? "Nothing is tried while the layout has an error." : "Trying changes …"}</p>}
      {advice !== null && rows.length === 0 && <p>{advice.why_not || "No change that was tried gives more air."}</p>}
      {rows.length > 0 && (
        <ul class="rows">{rows.map((row, n) => <Row key={n} sheet={sheet} row={row} old={old} />)}</ul>
      )}
      {advice !== null && advice.left_out > 0 && <p class="quiet">{advice.left_out} more would bring less.</p>}
    </section>
  );
}

/** ` (piece 2)` for a change of that one piece alone, where others like it may stand. */
function piece_of(row: AdviceRow): string {
  const places = new Set(row.changes.map(({ path }) => (path[0] === "run" && path[1] === "pieces" ? path[2] : -1)));
  const [place] = places;
  return places.size === 1 && typeof place === "number" && place >= 0 ? ` (piece ${place + 1})` : "";
}

function Row({ sheet, row, old }: { sheet: Sheet; row: AdviceRow; old: boolean }) {
  const words = row.words + piece_of(row);
  return (
    <li>
      <div>
        <p><strong>{words}</strong>{row.condition && <span class="quiet"> {row.condition}</span>}</p>
        <p class="gain">{row.gain}{row.band && ` (${row.band})`}{row.after && `: ${row.after}`}</p>
        {row.mends.length > 0 && <p class="quiet">fixes {row.mends.join(", ")}</p>}
        {row.brings.length > 0 && <p class="quiet">causes {row.brings.map((one) => `${one.level}: ${one.words}`).join("; ")}</p>}
      </div>
      {row.changes.length > 0 && (
        <button type="button" disabled={old} aria-label={`Do it: ${words}`} onClick={() => sheet.change(row.changes, words)}>Do it</button>
      )}
    </li>
  );
}

const kJudged = [
  { id: "findings", title: "Findings" },
  { id: "cautions", title: "Before and after work" },
] as const;
const kCalculated = [
  { id: "ledger", title: "Ledger" },
  { id: "speeds", title: "Speeds" },
  { id: "house", title: "House and makeup air" },
  { id: "doubt", title: "Main uncertainty" },
  { id: "yardstick", title: "Nominal route and equivalent length" },
  { id: "assumptions", title: "Assumptions" },
] as const;

export function Below({ sheet }: { sheet: Sheet }) {
  return (
    <div class="below">
      <div class="judged"><Sections sheet={sheet} shown={kJudged} /></div>
      <div class="calculated">
        <Profile sheet={sheet} />
        <Sections sheet={sheet} shown={kCalculated} />
      </div>
    </div>
  );
}

function Sections({ sheet, shown }: { sheet: Sheet; shown: typeof kJudged | typeof kCalculated }) {
  const { view } = sheet.state;
  if (view === null) return null;
  return (
    <>
      {shown.map(({ id, title }) => {
        const html = view.sections?.[id];
        const picture = id === "house" ? view.pictures.house : "";
        if (!html && !picture) return null;
        return (
          <section key={id} id={id} class="section" aria-labelledby={`${id}-title`}>
            <h2 id={`${id}-title`}>{title}</h2>
            {picture && <Html class="picture-box" html={picture} />}
            {html && <Html html={without_title(html)} />}
          </section>
        );
      })}
    </>
  );
}

/** Fragments of a report bring their own title, which stands above them here already. */
function without_title(html: string): string {
  return html.replace(/^\s*<h3[^>]*>[^<]*<\/h3>/, "");
}

/** The rules' tables need the whole width, and room that is only given when it is asked for. */
export function Rules({ sheet }: { sheet: Sheet }) {
  const html = sheet.state.view?.sections?.rules ?? "";
  return (
    <details class="rules" id="rules" onToggle={(event) => sheet.show_rules(event.currentTarget.open)}>
      <summary><h2>Rules</h2></summary>
      {html === "" ? <p class="quiet">Judging …</p> : <Html html={without_title(html)} />}
    </details>
  );
}

export function Faults({ sheet, show }: { sheet: Sheet; show: (fault: Fault) => void }) {
  const { faults, view } = sheet.state;
  const warnings = faults.length > 0 ? [] : view?.warnings ?? [];
  const remarks = faults.length > 0 ? [] : view?.remarks ?? [];
  if (faults.length + warnings.length + remarks.length === 0) return null;
  return (
    <section id="faults" class={faults.length > 0 ? "faults" : "remarks"} aria-labelledby="faults-heading">
      <h2 id="faults-heading">{faults.length > 0 ? "Why nothing is calculated" : "Read with a remark"}</h2>
      {remarks.map((one) => <p key={one}>{one}</p>)}
      {[...faults, ...warnings].map((one, n) => (
        <div key={n} class={`finding ${one.level === "error" ? "fail" : "warn"}`}>
          <p><span class="level">{one.level}</span> {one.message}{one.label ? `: ${one.label}` : ""}</p>
          {one.help && <p class="quiet">{one.help}</p>}
          <p><button type="button" onClick={() => show(one)}>Show line {one.line}</button></p>
        </div>
      ))}
    </section>
  );
}
