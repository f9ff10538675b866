// Writes kettlewright.min.js: kettlewright.js and element/ in one file (make element). `--check` only compares.
// Its first line holds a digest of the sources, so that a test without Node can tell whether the file is stale.
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import * as esbuild from "esbuild";
import { minify } from "terser";

const here = new URL("./", import.meta.url);
const read = (name) => readFileSync(new URL(name, here), "utf8");
const target = ["chrome123", "firefox128", "safari17.5"];

const sources = ["kettlewright.js", ...readdirSync(new URL("element/", here)).sort().map((name) => `element/${name}`)];
const digest = createHash("sha256");
for (const name of sources) digest.update(`${name}\n${read(name)}`);

/** Words in German stay a file. The style sheet is a template literal, which minifiers of scripts leave as it is. */
const parts = {
  name: "parts",
  setup(build) {
    build.onResolve({ filter: /kettlewright\.de\.js$/ }, () => ({ path: "./kettlewright.de.js", external: true }));
    build.onLoad({ filter: /look\.js$/ }, async ({ path }) => {
      const { LOOK } = await import(`file://${path}`);
      const { code } = await esbuild.transform(LOOK, { loader: "css", minify: true, target });
      const tight = code.trim().replaceAll(/([:,]) (?=\S)/g, "$1"); // esbuild leaves custom properties as they are
      return { contents: `export const LOOK = ${JSON.stringify(tight)};` };
    });
  },
};

const bundled = await esbuild.build({
  entryPoints: [new URL("kettlewright.js", here).pathname], bundle: true, minify: true, format: "esm", write: false,
  charset: "utf8", target, plugins: [parts] });
const { code } = await minify(bundled.outputFiles[0].text, {
  module: true, ecma: 2022,
  compress: { passes: 3, unsafe: true, unsafe_arrows: true, unsafe_methods: true, pure_getters: true, hoist_funs: true,
    keep_fargs: false, reduce_funcs: false, reduce_vars: false },
  // names that are in no request, reply or list of words, and in no part of the DOM
  mangle: { properties: { regex: /^(say|write|folded|errorOf|mend|store|trouble|rows|fields|word|texts)$/ } },
  format: { preamble: `// kettlewright, MIT, ${digest.digest("hex").slice(0, 8)}` } });
const text = `${code}\n`;

if (!process.argv.includes("--check")) {
  writeFileSync(new URL("kettlewright.min.js", here), text);
} else if (text !== read("kettlewright.min.js")) {
  console.error("kettlewright.min.js is stale: run make element");
  process.exit(1);
}
console.log(`kettlewright.min.js: ${Buffer.byteLength(text)} bytes, ${gzipSync(text, { level: 9 }).length} packed`);
