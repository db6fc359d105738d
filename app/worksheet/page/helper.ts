// Another engine, in a worker: what takes longer is asked there and never holds the page up.

export interface Helper {
  /** An answer; nothing where a newer question of the same kind took its place. */
  ask<T>(request: { ask: string } & Record<string, unknown>, kind?: string): Promise<T | null>;
}

interface Waiting {
  kind: string;
  request: { ask: string };
  answer: (value: unknown) => void;
  fail: (fault: Error) => void;
}

/** @param source the worker's script, @param bytes of the engine */
export function helper(source: string, bytes: Uint8Array): Helper {
  let worker: Worker | null = null;
  let asked: Waiting | null = null;
  const queue: Waiting[] = [];

  /** Begun with the first question: a page that is only looked at needs none. */
  function begun(): Worker {
    const begins = new Worker(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
    begins.onmessage = (event: MessageEvent<{ answer?: unknown; fault?: string }>) => {
      const done = asked;
      asked = null;
      next();
      if (event.data.fault !== undefined) done?.fail(new Error(event.data.fault));
      else done?.answer(event.data.answer);
    };
    begins.onerror = (event) => {
      asked?.fail(new Error(event.message));
      asked = null;
      next();
    };
    begins.postMessage({ bytes });
    return begins;
  }
  function next(): void {
    if (asked !== null || queue.length === 0) return;
    asked = queue.shift()!;
    worker ??= begun();
    worker.postMessage(asked.request);
  }

  return {
    ask<T>(request: { ask: string } & Record<string, unknown>, kind = request.ask): Promise<T | null> {
      return new Promise((answer, fail) => {
        const older = queue.findIndex((one) => one.kind === kind);
        if (older >= 0) queue.splice(older, 1)[0]!.answer(null);
        queue.push({ kind, request, answer: answer as (value: unknown) => void, fail });
        next();
      });
    },
  };
}
