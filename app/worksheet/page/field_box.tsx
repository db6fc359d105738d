// One field of a piece or of the site: a labelled box, what the engine says of it, its errors.
import { useId } from "preact/hooks";
import type { Choice, Fault } from "./answers";
import { failed } from "./answers";
import type { Sheet } from "./sheet";

interface Props {
  sheet: Sheet;
  label: string;
  /** What stands in the text; nothing where the layout leaves it out. */
  stated: string | null;
  /** What holds now, for a field that is left out. */
  value: string;
  dimension: string;
  choices?: Choice[] | undefined;
  faults: Fault[];
  /** An empty text takes the key out. */
  put: (text: string) => void;
}

export function FieldBox(props: Props) {
  const { sheet, label, stated, value, dimension, faults } = props;
  const choices = props.choices?.filter((one) => one.value !== "") ?? [];
  const typed = choices.length === 0 || dimension === "section"; // a size is chosen or typed
  const id = useId();
  const note = `${id}-note`;
  const shown = stated ?? "";
  const common = { id, "aria-describedby": faults.length > 0 ? note : undefined, "aria-invalid": faults.length > 0 };
  return (
    <div class={faults.length > 0 ? "field faulty" : "field"}>
      <label for={id}>{label}</label>
      {!typed ? (
        <Choose {...common} choices={choices} stated={stated} value={value} put={props.put} />
      ) : (
        <div class={dimension === "length" ? "stepper" : "plain"}>
          {dimension === "length" && <Steps sheet={sheet} label={label} text={stated ?? value} by={-1} put={props.put} />}
          <input {...common} type="text" autocomplete="off" spellcheck={false} value={shown}
                 placeholder={stated === null ? value : ""} list={dimension === "section" ? `${id}-list` : undefined}
                 onInput={(event) => props.put(event.currentTarget.value)} onBlur={() => sheet.settle()} />
          {dimension === "length" && <Steps sheet={sheet} label={label} text={stated ?? value} by={1} put={props.put} />}
        </div>
      )}
      {typed && dimension === "section" && <datalist id={`${id}-list`}>{choices.map((one) => <option key={one.value} value={one.value} />)}</datalist>}
      {faults.length > 0 && (
        <p class="fault" id={note}>
          {faults.map((one) => <span key={one.rendered}>{one.message}{one.help ? `; ${one.help}` : ""}</span>)}
        </p>
      )}
    </div>
  );
}

/** A type with its coefficient and doubt. */
function choice_words(choice: Choice): string {
  return choice.note === "" ? choice.words : `${choice.words}, ${choice.note.replace("+-", "\u00b1")}`;
}

interface ChooseProps {
  choices: Choice[];
  stated: string | null;
  value: string;
  put: (text: string) => void;
}

function Choose({ choices, stated, value, put, ...common }: ChooseProps) {
  const known = choices.some((one) => one.value === stated);
  const default_ = choices.find((one) => one.value === value);
  return (
    <select {...common} value={stated ?? ""} onChange={(event) => put(event.currentTarget.value)}>
      <option value="">{value !== "" && stated === null ? `${default_ ? choice_words(default_) : value} (not stated)` : "not stated"}</option>
      {stated !== null && !known && <option value={stated}>{stated}</option>}
      {choices.map((one) => <option key={one.value} value={one.value}>{choice_words(one)}</option>)}
    </select>
  );
}

const kCoarse = 16; // an inch, or 80 mm

/** Two buttons on one side of a length: the far one in inches, the near one in sixteenths. */
function Steps({ sheet, label, text, by, put }: { sheet: Sheet; label: string; text: string; by: 1 | -1; put: (text: string) => void }) {
  const system = sheet.state.view?.system ?? "ip";
  const far = system === "ip" ? kCoarse : 10;
  const words = system === "ip" ? ["1 in", "1/16 in"] : ["50 mm", "5 mm"];
  const step = (count: number): void => {
    const answer = sheet.ask<{ value: string }>({ ask: "length", text, by: by * count, system });
    if (answer !== null && !failed(answer)) put(answer.value);
  };
  const sign = by > 0 ? "+" : "\u2212";
  const verb = by > 0 ? "longer" : "shorter";
  const buttons = [
    <button key="far" type="button" aria-label={`${label}: ${words[0]} ${verb}`} onClick={() => step(far)}>{sign}{words[0]}</button>,
    <button key="near" type="button" aria-label={`${label}: ${words[1]} ${verb}`} onClick={() => step(1)}>{sign}{words[1]!.replace(" in", "").replace(" mm", "")}</button>,
  ];
  return <>{by > 0 ? buttons.reverse() : buttons}</>;
}
