// What was changed, the text itself, and two routes side by side.
import { useEffect, useRef } from "preact/hooks";
import type { Fault } from "./answers";
import { Html } from "./html";
import { text_of } from "./route";
import type { Sheet } from "./sheet";
import { typed_over } from "./typed";
import { place } from "./yaml_text";

export function Changes({ sheet }: { sheet: Sheet }) {
  const { steps, done } = sheet.route;
  return (
    <section class="changes" aria-labelledby="changes-heading">
      <h2 id="changes-heading">What was changed</h2>
      {steps.length === 0 && <p class="quiet">Nothing yet.</p>}
      {steps.length > 0 && (
        <ol>
          <li>
            <button type="button" aria-current={done === 0 ? "step" : undefined} onClick={() => sheet.go_to(0)}>as opened</button>
          </li>
          {steps.map((step, n) => (
            <li key={n} class={n >= done ? "undone" : ""}>
              <button type="button" aria-current={done === n + 1 ? "step" : undefined} onClick={() => sheet.go_to(n + 1)}>{step.words}</button>
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}

interface TextProps {
  sheet: Sheet;
  open: boolean;
  set_open: (open: boolean) => void;
  shown: Fault | null;
}

export function LayoutText({ sheet, open, set_open, shown }: TextProps) {
  const area = useRef<HTMLTextAreaElement>(null);
  useEffect(() => {
    if (!open || shown === null || area.current === null) return;
    const start = place(sheet.text, shown.line, shown.column);
    area.current.focus();
    // A text area counts each line break as one character.
    const breaks = sheet.text.slice(0, start).split("\r\n").length - 1;
    area.current.setSelectionRange(start - breaks, start - breaks + Math.max(1, shown.length));
  }, [open, shown]);
  return (
    <details class="layout-text" open={open} onToggle={(event) => set_open(event.currentTarget.open)}>
      <summary>The layout as text</summary>
      <label>
        <span class="quiet">What is changed here is the layout; what is changed above stands here.</span>
        <textarea ref={area} rows={24} spellcheck={false} wrap="off" value={sheet.text}
                  onInput={(event) => sheet.write(typed_over(sheet.text, event.currentTarget.value), "The text was edited", "text")} onBlur={() => sheet.settle()} />
      </label>
    </details>
  );
}


export function Routes({ sheet }: { sheet: Sheet }) {
  const { b, side, comparison, view } = sheet.state;
  return (
    <section class="routes" aria-labelledby="routes-heading">
      <h2 id="routes-heading">Two routes side by side</h2>
      {b === null ? (
        <>
          <p>A second route begins as a copy of this one; the first stays as it is.</p>
          <p><button type="button" onClick={() => sheet.start_b()}>Begin route B</button></p>
        </>
      ) : (
        <>
          <div class="tabs">
            <button type="button" aria-pressed={side === "a"} onClick={() => sheet.show_side("a")}>Route A</button>
            <button type="button" aria-pressed={side === "b"} onClick={() => sheet.show_side("b")}>Route B</button>
          </div>
          {comparison === null && <p class="quiet">{text_of(sheet.state.a) === text_of(b) ? "Both are the same so far." : "Comparing \u2026"}</p>}
          {comparison !== null && <Html html={comparison.html} />}
          <p class="acts">
            <button type="button" onClick={() => void sheet.write_variant(variant_name(sheet, view?.title ?? ""))}>Write B into A's file as a variant</button>
            <button type="button" onClick={() => sheet.drop_b()}>Drop route B</button>
          </p>
        </>
      )}
    </section>
  );
}

/** `route B`, or the title that B was given. */
function variant_name(sheet: Sheet, title: string): string {
  return sheet.state.side === "b" && title !== "" && !sheet.state.a.opened.includes(title) ? title : "route B";
}
