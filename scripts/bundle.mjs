// usage: node scripts/bundle.mjs
// Bundles the command-line program into packages/cli/dist/goodgate.js; heavy parts stay in chunks loaded on demand.
import { build } from "esbuild";
import { chmodSync, readFileSync, rmSync } from "node:fs";

const outdir = "packages/cli/dist";
rmSync(outdir, { recursive: true, force: true });
await build({
  entryPoints: { goodgate: "packages/cli/src/goodgate.ts" },
  outdir,
  bundle: true,
  splitting: true,
  platform: "node",
  target: "node20",
  format: "esm",
  chunkNames: "chunks/[name]-[hash]",
  sourcemap: "linked",
  // Both find their own files by their place on disk, so they cannot be moved into a bundle.
  external: ["fluent-ffmpeg", "ffprobe-static"],
  loader: { ".eta": "text", ".css": "text", ".client.js": "text" },
  logLevel: "warning",
  define: {
    __GOODGATE_VERSION__: JSON.stringify(JSON.parse(readFileSync("packages/cli/package.json", "utf8")).version),
  },
  banner: {
    js: "import{createRequire as __createRequire}from'node:module';const require=__createRequire(import.meta.url);",
  },
});
chmodSync(`${outdir}/goodgate.js`, 0o755);
