// Begins the page: unpacks the engine, opens what the file, the address or the reader brings. The
// same script, without a page around it, is the worker.
import { render } from "preact";
import { App } from "./app";
import { load } from "./engine";
import type { Engine } from "./engine";
import { bytes_in } from "./base85";
import { text_in, unpacked } from "./fragment";
import { helper } from "./helper";
import { Sheet } from "./sheet";
import { serve } from "./worker";

interface CheckOptions {
  file?: string;
  speed?: string;
  advise?: boolean;
}

let engine: Engine | null = null;

/** For scripts and tests; docs/worksheet.md says how. */
const api = {
  /** Holds once the engine is there. */
  ready: Promise.resolve(),
  /** The document `ductledger.check/1` of a layout, or `ductledger.error/1`. */
  check(text: string, options: CheckOptions = {}): unknown {
    if (engine === null) throw new Error("not ready: await ductledger.ready first");
    return engine.ask({ ask: "check", text, file: options.file ?? "layout.yaml", ...options });
  },
};

function embedded(): { file: string; text: string } | null {
  const put = document.getElementById("layout")?.textContent?.trim() ?? "";
  return put === "" ? null : (JSON.parse(put) as { file: string; text: string });
}

async function begin(script: string): Promise<void> {
  const box = document.getElementById("page")!;
  try {
    const packed = document.getElementById("engine")!;
    const bytes = await unpacked(bytes_in(packed.textContent!));
    packed.remove();
    engine = await load(bytes);
    const sheet = new Sheet(engine, helper(script, bytes), helper(script, bytes));
    const linked = await text_in(location.hash);
    const given = embedded();
    if (linked !== null) sheet.open(linked, "linked.yaml");
    else if (given !== null) sheet.open(given.text, given.file);
    box.textContent = "";
    render(<App sheet={sheet} />, box);
  } catch (fault) {
    box.textContent = `This browser cannot run the worksheet: ${String((fault as Error).message ?? fault)}`;
    throw fault;
  }
}

if (typeof document === "undefined") {
  serve();
} else {
  api.ready = begin(document.currentScript!.textContent!);
  Object.assign(globalThis, { ductledger: api });
}
