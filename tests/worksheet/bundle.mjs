// The page's modules for Node: bundled into one file and imported.
import { mkdtempSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

export const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
export const worksheet = join(root, "app/worksheet");
const { buildSync } = createRequire(join(worksheet, "package.json"))("esbuild");

/** Exports of a module of the page and of the packages it stands on. */
export async function load(source) {
  const folder = mkdtempSync(join(tmpdir(), "ductledger-worksheet-"));
  try {
    const outfile = join(folder, "module.mjs");
    buildSync({ stdin: { contents: source, resolveDir: join(worksheet, "page"), loader: "ts" },
                outfile, bundle: true, format: "esm", platform: "neutral", mainFields: ["module", "main"], logLevel: "error" });
    return await import(pathToFileURL(outfile).href);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Numbers from 0 to 1, the same for a seed each time. */
export function random(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
