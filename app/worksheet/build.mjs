// Puts the worksheet together: one HTML file with everything in it.
// usage: node build.mjs ENGINE.wasm OUT.html
import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { deflateRawSync } from "node:zlib";
import { build } from "esbuild";

const [wasm, out] = process.argv.slice(2);
if (out === undefined) {
  console.error("usage: node build.mjs ENGINE.wasm OUT.html");
  process.exit(2);
}
const page = join(dirname(fileURLToPath(import.meta.url)), "page");
const common = {
  bundle: true, minify: true, target: "es2022", charset: "utf8", legalComments: "none", logLevel: "warning",
  jsx: "automatic", jsxImportSource: "preact",
};

const main = (await build({ ...common, entryPoints: [join(page, "main.tsx")], format: "iife", write: false })).outputFiles[0].text;

/** A module of the page, for use here. */
async function module_of(name) {
  const folder = mkdtempSync(join(tmpdir(), "ductledger-worksheet-"));
  try {
    const outfile = join(folder, "module.mjs");
    await build({ ...common, entryPoints: [join(page, name)], format: "esm", outfile });
    return await import(pathToFileURL(outfile).href);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const bytes = readFileSync(wasm);
const own = (await build({ ...common, entryPoints: [join(page, "style.css")], write: false })).outputFiles[0].text;
// The look that reports and the page share comes from the engine itself.
const engine = await (await module_of("engine.ts")).load(new Uint8Array(bytes));
const style = engine.ask({ ask: "style" }).css + own;

const hash = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
const policy = [
  "default-src 'none'",
  `script-src ${hash(main)} 'wasm-unsafe-eval'`,
  `style-src ${hash(style)}`,
  "img-src data: blob:",
  "worker-src blob:",
  "connect-src 'none'",
  "form-action 'none'",
  "base-uri 'none'",
].join("; ");

/** What the page holds of others, with their terms. */
const licences = [
  ...["preact", "yaml"].map((name) => {
    const folder = join(dirname(page), "node_modules", name);
    const { version } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
    return `${name} ${version}\n\n${readFileSync(join(folder, "LICENSE"), "utf8").trim()}\n`;
  }),
  readFileSync(join(dirname(page), "engine", "licences.txt"), "utf8"),
].join("\n----\n\n");

const engine_text = (await module_of("base85.ts")).text_of_bytes(deflateRawSync(bytes, { level: 9 }));
const parts = { policy, style, script: main, licences, engine: engine_text };
const html = readFileSync(join(page, "page.html"), "utf8").replace(/@(policy|style|script|licences|engine)@/g, (_, name) => parts[name]);
writeFileSync(out, html);
const kb = (text) => Math.round(Buffer.byteLength(text) / 1000);
console.log(`${out}: ${kb(html)} kB, of it engine ${kb(parts.engine)}, script ${kb(main)}, style ${kb(style)}`);
