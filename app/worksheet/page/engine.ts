// The library as WebAssembly: JSON in, JSON out. Its requests are listed in ../README.md.

import { events } from "./events";

interface Exports {
  memory: WebAssembly.Memory;
  _initialize(): void;
  room(bytes: number): number;
  release(at: number): void;
  ask(request: number, length: number): number;
  length(): number;
}

/** A broken promise of our own code. The engine begins anew; nothing of the page is lost. */
export class EngineFault extends Error {}

export interface Engine {
  // eslint-disable-next-line @typescript-eslint/no-explicit-any
  ask(request: object): any;
}

const UTF8 = new TextEncoder();
// A byte order mark is part of the text: places count it.
const TEXT = new TextDecoder("utf-8", { ignoreBOM: true });
/** "Not there": what the C library hears of a system that a page does not have. */
const NOT_THERE = 52;

class Wasm implements Engine {
  private exports: Exports | null = null;
  private words = "";

  constructor(private readonly module: WebAssembly.Module) {}

  async start(): Promise<void> {
    const instance = await WebAssembly.instantiate(this.module, this.imports());
    this.exports = instance.exports as unknown as Exports;
    this.exports._initialize();
  }

  ask(request: object): unknown {
    const engine = this.exports;
    if (!engine) {
      throw new EngineFault("the engine begins anew");
    }
    try {
      const bytes = UTF8.encode(JSON.stringify(request));
      const at = engine.room(bytes.length);
      new Uint8Array(engine.memory.buffer).set(bytes, at);
      const answer = engine.ask(at, bytes.length);
      engine.release(at);
      const text = TEXT.decode(new Uint8Array(engine.memory.buffer, answer, engine.length()));
      return JSON.parse(text);
    } catch (error) {
      this.exports = null;
      const words = this.words || String(error);
      this.words = "";
      void this.start();
      throw new EngineFault(`this is a bug in ductledger: ${words}`);
    }
  }

  private text(at: number, length: number): string {
    return TEXT.decode(new Uint8Array(this.exports!.memory.buffer, at, length));
  }

  private imports(): WebAssembly.Imports {
    const page = {
      fault: (words: number, length: number): void => {
        this.words = this.text(words, length);
      },
      events: (text: number, length: number, size: number): number => {
        const records = events(this.text(text, length));
        const engine = this.exports!;
        const at = engine.room(records.length);
        new Uint8Array(engine.memory.buffer).set(records, at);
        new DataView(engine.memory.buffer).setUint32(size, records.length, true);
        return at;
      },
    };
    // What the C library would ask of a system: there is none.
    const system = new Proxy(
      {
        environ_sizes_get: (count: number, size: number): number => {
          const view = new DataView(this.exports!.memory.buffer);
          view.setUint32(count, 0, true);
          view.setUint32(size, 0, true);
          return 0;
        },
        proc_exit: (): never => {
          throw new EngineFault("it ended");
        },
      } as { [name: string]: unknown },
      { get: (known, name: string) => known[name] ?? ((): number => NOT_THERE) },
    );
    return { page, wasi_snapshot_preview1: system as WebAssembly.ModuleImports };
  }
}

/** @param bytes engine.wasm */
export async function load(bytes: BufferSource): Promise<Engine> {
  const wasm = new Wasm(await WebAssembly.compile(bytes));
  await wasm.start();
  return wasm;
}
