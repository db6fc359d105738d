// The page: the first questions, or the sheet of an open layout.
import { useEffect, useReducer, useRef, useState } from "preact/hooks";
import type { Fault } from "./answers";
import { Below, Chart, Faults, Help, Rules } from "./below";
import { Choices } from "./choices";
import { Drawing } from "./drawing";
import { decoded, text_in } from "./fragment";
import { Head } from "./head";
import { Pieces } from "./piece_list";
import { Changes, LayoutText, Routes } from "./record";
import type { Sheet } from "./sheet";
import { Run, Site } from "./basics";
import { Start } from "./start";
import { Paper, Take } from "./take";

const kMostBytes = 1 << 20; // of a file that is dropped: a layout has a few thousand

export function App({ sheet }: { sheet: Sheet }) {
  const [, draw] = useReducer((n: number) => n + 1, 0);
  useEffect(() => sheet.subscribe(() => draw(undefined as never)), [sheet]);

  const input = useRef<HTMLInputElement>(null);
  const [text_open, set_text_open] = useState(false);
  const [shown, set_shown] = useState<Fault | null>(null);
  const [over, set_over] = useState(false);

  const take = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    if (file.size > kMostBytes) return sheet.tell(`${file.name} is too large for a layout.`);
    const bytes = new Uint8Array(await file.arrayBuffer());
    const text = decoded(bytes);
    if (text === null) return sheet.refuse(file.name, bytes);
    sheet.keep_now();
    sheet.open(text, file.name);
    scrollTo(0, 0);
  };

  useEffect(() => {
    const drop = (event: DragEvent): void => {
      event.preventDefault();
      set_over(event.type === "dragover");
      if (event.type === "drop") void take(event.dataTransfer?.files[0]);
    };
    const key = (event: KeyboardEvent): void => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey || !sheet.state.open) return;
      const name = event.key.toLowerCase();
      if (name !== "z" && name !== "y") return;
      event.preventDefault();
      if (name === "y" || event.shiftKey) sheet.redo();
      else sheet.undo();
    };
    const hash = (): void => {
      void text_in(location.hash).then((text) => {
        if (text === null || text === sheet.text) return;
        sheet.keep_now();
        sheet.open(text, "linked.yaml");
      });
    };
    const leave = (): void => sheet.keep_now();
    const drops = ["dragover", "dragleave", "drop"] as const;
    drops.forEach((name) => document.addEventListener(name, drop));
    document.addEventListener("keydown", key);
    addEventListener("hashchange", hash);
    addEventListener("pagehide", leave);
    return () => {
      drops.forEach((name) => document.removeEventListener(name, drop));
      document.removeEventListener("keydown", key);
      removeEventListener("hashchange", hash);
      removeEventListener("pagehide", leave);
    };
  }, [sheet]);

  const show = (fault: Fault): void => {
    set_text_open(true);
    set_shown({ ...fault });
  };
  const pick = (): void => input.current!.click();
  const { open, view, file } = sheet.state;
  return (
    <div class={over ? "page over" : "page"}>
      <a class="skip" href="#main">Skip to the drawing</a>
      <input ref={input} hidden type="file" accept=".yaml,.yml,.txt"
             onChange={(event) => {
               const chosen = event.currentTarget;
               void take(chosen.files?.[0]).then(() => { chosen.value = ""; });
             }} />
      {!open && <p class="told top-told" role="status">{sheet.state.told}</p>}
      {!open && <Start sheet={sheet} pick={pick} />}
      {open && <Head sheet={sheet} />}
      {open && (
        <main id="main" class="sheet-page" data-asking={String(sheet.state.asking)}>
          <h1>{view?.title || file}</h1>
          <Choices sheet={sheet} />
          <Faults sheet={sheet} show={show} />
          <div class="work">
            <div class="left">
              <Drawing sheet={sheet} />
              <Chart sheet={sheet} />
            </div>
            <div class="right">
              {sheet.readable && <Pieces sheet={sheet} />}
              <Help sheet={sheet} />
              {sheet.readable && <Run sheet={sheet} />}
              {sheet.readable && <Site sheet={sheet} />}
              <Routes sheet={sheet} />
              <Changes sheet={sheet} />
              <Take sheet={sheet} pick={pick} />
            </div>
          </div>
          <Below sheet={sheet} />
          <Rules sheet={sheet} />
          <LayoutText sheet={sheet} open={text_open} set_open={set_text_open} shown={shown} />
          <p class="quiet foot">A calculation, no permit: local code and the authority having jurisdiction decide. Power off and locked before any work; a
            qualified, licensed installer.</p>
        </main>
      )}
      <Paper sheet={sheet} />
    </div>
  );
}
