// usage: node scripts/bundle.mjs
// Bundles the command-line program into packages/cli/dist/goodgate.js; heavy parts stay in chunks loaded on demand.
import { build } from "esbuild";
import { chmodSync, readFileSync, rmSync } from "node:fs";

const outdir = "packages/cli/dist";

/**
 * Rules carry their documented examples, which only `explain` prints: in the program they are made when asked for, so that
 * an audit does not start by working out some hundreds of them.
 */
const examplesOnDemand = {
  name: "examples-on-demand",
  setup({ onLoad }) {
    onLoad({ filter: /[\\/]rules[\\/]src[\\/]rules[\\/][a-z0-9-]+\.ts$/ }, ({ path }) => {
      const source = readFileSync(path, "utf8");
      const contents = source.replace(/^ {2}examples: (\[\n[\s\S]*?\n {2}\]),$/m, "  get examples() { return $1; },");
      return { contents, loader: "ts" };
    });
  },
};

/**
 * The widths of all scripts and signs take longer to load than a card of 200 clips to judge, and most texts need none of
 * them: in the program they are loaded by the first text that does.
 */
const widthsOnDemand = {
  name: "widths-on-demand",
  setup({ onLoad }) {
    onLoad({ filter: /[\\/]report[\\/]src[\\/]printed-text\.ts$/ }, ({ path }) => {
      const source = readFileSync(path, "utf8");
      const contents = source.replace(
        'import stringWidth from "string-width";',
        'const stringWidth = (text: string): number => require("string-width").default(text);',
      );
      if (contents === source) throw new Error(`${path}: the import that is loaded on demand was not found`);
      return { contents, loader: "ts" };
    });
  },
};

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
  // A shorter text is read sooner at every start; names stay, so that a trace can be read.
  minifyWhitespace: true,
  minifySyntax: true,
  plugins: [examplesOnDemand, widthsOnDemand],
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
