// Always in view: what the chosen speed delivers, what is required, and the worst finding.
import type { Answer } from "./answers";
import type { Sheet } from "./sheet";

export function Head({ sheet }: { sheet: Sheet }) {
  const { view, faults, side, b } = sheet.state;
  const answer = view?.answer;
  const stale = faults.length > 0;
  const standing = answer?.standing ?? "";
  return (
    <header class={`head ${stale ? "stale" : standing}`}>
      <div class="head-in">
        <div class="answer-now" role="status" aria-live="polite" aria-atomic="true">
          {b !== null && <span class="side">{side.toUpperCase()}</span>}
          {answer && (
            <>
              <p class="figure">
                <strong>{answer.airflow || "no airflow"}</strong>
                {answer.band && <span class="band">{answer.band}</span>}
              </p>
              {!stale && (
                <p class="mark">
                  {answer.mark && <b>{answer.mark}</b>}
                  <span>{answer.required ? required_words(answer) : answer.words}</span>
                </p>
              )}
            </>
          )}
          {stale && (
            <p class="mark">
              <b>NOT CALCULATED</b>{answer ? " figures of before" : ""}
            </p>
          )}
        </div>
        <Worst sheet={sheet} />
      </div>
    </header>
  );
}

/** What is required, and how that stands where the mark does not say so already. */
function required_words(answer: Answer): string {
  const said = answer.mark.toLowerCase() === answer.requirement;
  return `${answer.required} required${said || answer.requirement === "" ? "" : `: ${answer.requirement}`}`;
}

function Worst({ sheet }: { sheet: Sheet }) {
  const { view, faults } = sheet.state;
  const fault = faults[0];
  if (fault !== undefined) {
    return (
      <a class="worst fail" href="#faults">
        <b>error</b> <span>line {fault.line}: {fault.message}</span>
      </a>
    );
  }
  const worst = view?.worst;
  if (worst === null || worst === undefined) {
    // `0 fail, 0 warn, 4 note`
    const notes = Number(/(\d+) note/.exec(view?.answer.counts ?? "")?.[1] ?? 0);
    const below = notes === 0 ? "" : notes === 1 ? "; one note below" : `; ${notes} notes below`;
    return <p class="worst">{view ? `No failure and no warning among what was checked${below}.` : ""}</p>;
  }
  const piece = worst.piece;
  return (
    <a class={`worst ${worst.level}`} href="#findings" onClick={() => piece !== null && sheet.select(piece)}>
      <b>{worst.level}</b> <span>{worst.words}</span>
    </a>
  );
}
