// The worker's side of helper.ts.
import { load } from "./engine";
import type { Engine } from "./engine";

/** Answers questions, one after the other; the first message brings the engine. */
export function serve(): void {
  let engine: Promise<Engine> | null = null;
  onmessage = async (event: MessageEvent<{ bytes: Uint8Array<ArrayBuffer> } | { ask: string }>) => {
    const message = event.data;
    if ("bytes" in message) {
      engine = load(message.bytes);
      engine.catch(() => undefined);
      return;
    }
    try {
      if (engine === null) throw new Error("no engine");
      postMessage({ answer: (await engine).ask(message) });
    } catch (fault) {
      postMessage({ fault: String((fault as Error).message ?? fault) });
    }
  };
}
