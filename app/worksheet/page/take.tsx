// Taking it away: the layout file, the report, the sheet on paper, the answer as text, a link.
import { useEffect, useRef } from "preact/hooks";
import { failed } from "./answers";
import { text_of } from "./route";
import type { Sheet } from "./sheet";

function download(name: string, type: string, text: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}

function base(file: string): string {
  return file.replace(/\.ya?ml$/i, "") || "layout";
}

async function copy(sheet: Sheet, text: string, told: string): Promise<void> {
  try {
    await navigator.clipboard.writeText(text);
    sheet.tell(told);
  } catch {
    // Where the clipboard is not given, an area that is selected serves.
    const area = document.createElement("textarea");
    area.value = text;
    document.body.append(area);
    area.select();
    sheet.tell(document.execCommand("copy") ? told : "The browser does not let this page copy.");
    area.remove();
  }
}

export function Take({ sheet, pick }: { sheet: Sheet; pick: () => void }) {
  const { file, faults, system, b, side, saved } = sheet.state;
  const name = b !== null && side === "b" ? `${base(file)}-b` : base(file);
  const layouts = (): { text: string; file: string }[] =>
    b === null ? [{ text: sheet.text, file }] : [{ text: text_of(sheet.state.a), file }, { text: text_of(b), file: `${base(file)}-b.yaml` }];
  const save = (): void => {
    download(`${name}.yaml`, "application/yaml", sheet.text);
    sheet.mark_saved(`Saved as ${name}.yaml.`);
  };
  const report = async (): Promise<void> => {
    const answer = await sheet.helper.ask<{ html: string }>({ ask: "report", layouts: layouts(), system, sheet: false });
    if (answer === null) return;
    if (failed(answer)) sheet.tell(`No report: ${answer.errors[0]!.message}.`);
    else download(`${name}.html`, "text/html", answer.html);
  };
  const words = async (): Promise<void> => {
    const answer = await sheet.helper.ask<{ text: string }>({ ask: "words", text: sheet.text, file, system });
    if (answer !== null && !failed(answer)) await copy(sheet, answer.text, "The answer is copied.");
  };
  const link = async (): Promise<void> => {
    const fragment = await sheet.fragment();
    history.replaceState(null, "", fragment);
    await copy(sheet, location.href, "The address carries the layout now, and is copied.");
  };
  const stuck = faults.length > 0;
  return (
    <section class="take" aria-labelledby="take-heading">
      <h2 id="take-heading">Take it away</h2>
      <p class="acts">
        <button type="button" class="main" onClick={save}>Save {name}.yaml</button>
        <button type="button" disabled={stuck} onClick={() => globalThis.print()}>Print sheet and bill</button>
        <button type="button" disabled={stuck} onClick={() => void report()}>Save the report</button>
        <button type="button" disabled={stuck} onClick={() => void words()}>Copy the answer as text</button>
        <button type="button" onClick={() => void link()}>Make a link</button>
        <button type="button" onClick={pick}>Open another file</button>
        <button type="button" onClick={() => { sheet.keep_now(); sheet.close(); }}>Begin anew</button>
      </p>
      <p class="quiet">
        {saved ? "Nothing here is unsaved." : "What is not saved stays in this browser's own storage and is offered again."} Nothing leaves this
        device: the page cannot connect to anything. A link carries the whole layout in itself.
      </p>
    </section>
  );
}

/** What the printer gets in place of the page: the dimensioned sheet and the bill. */
export function Paper({ sheet }: { sheet: Sheet }) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const fill = (): void => {
      const { file, system } = sheet.state;
      // A route that cannot be dimensioned is printed as its report.
      for (const sheet_ of [true, false]) {
        const answer = sheet.ask<{ html: string }>({ ask: "report", layouts: [{ text: sheet.text, file }], system, sheet: sheet_ });
        if (answer === null || failed(answer)) continue;
        const main = /<main id="main">([\s\S]*)<\/main>/.exec(answer.html)?.[1] ?? "";
        box.current!.innerHTML = `<main>${main}</main><footer class="foot">Made with ductledger's worksheet. A calculation, no permit: local code and the authority having jurisdiction decide.</footer>`;
        return;
      }
    };
    const empty = (): void => {
      box.current!.innerHTML = "";
    };
    addEventListener("beforeprint", fill);
    addEventListener("afterprint", empty);
    return () => {
      removeEventListener("beforeprint", fill);
      removeEventListener("afterprint", empty);
    };
  }, [sheet]);
  return <div class="paper-box" ref={box} />;
}
