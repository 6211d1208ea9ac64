import { expect, test } from "vitest";
import { isBinary, projectBytes, projectFiles, projectText } from "./check-files.ts";

const files = projectFiles();
const scope = "@goodgate/";

/** Packages that may not touch the machine they run on. */
const pure = new Set(["model", "rules", "report"]);
/** Binary files beyond this are made by recipes, not kept. */
const largestBinaryBytes = 4096;

/** What a package may import of ours: the model nothing, the command line everything, all others the model alone. */
function allowed(from: string, to: string): boolean {
  if (from === to || from === "model") return from === to;
  return from === "cli" || to === "model";
}

const packageOf = (path: string): string => /^packages\/([^/]+)\//.exec(path)?.[1] ?? "";
const isTest = (path: string): boolean => path.endsWith(".test.ts");
const sources = files.filter((path) => /^packages\/[^/]+\/src\/.*\.[mc]?tsx?$/.test(path));

/** Everything a source names in `from`, `import` and `import()`. */
function specifiers(path: string): readonly string[] {
  const text = projectText(path).replace(/\/\*[\s\S]*?\*\//g, "");
  return [
    ...text.matchAll(/^\s*(?:import|export)\b[^;"'`]*?\bfrom\s*["']([^"']+)["']/gm),
    ...text.matchAll(/^\s*import\s*["']([^"']+)["']/gm),
    ...text.matchAll(/\bimport\(\s*["']([^"']+)["']/g),
  ].map((match) => match[1] ?? "");
}

/** The folder a relative import leads to, from the folder of the importing file. */
function target(path: string, specifier: string): string {
  const parts = path.split("/").slice(0, -1);
  for (const part of specifier.split("/")) {
    if (part === "..") parts.pop();
    else if (part !== ".") parts.push(part);
  }
  return parts.join("/");
}

test("there are sources to look at, and imports are found in them", () => {
  expect(sources.length).toBeGreaterThan(50);
  expect(specifiers("packages/model/src/cadence.ts")).toContain("./ratio.ts");
  expect(specifiers("scripts/check-imports.test.ts")).toEqual(["vitest", "./check-files.ts"]);
});

test("packages import one way: the model nothing of ours, the command line everything, all others the model alone", () => {
  const wrong: string[] = [];
  for (const path of sources) {
    const from = packageOf(path);
    for (const specifier of specifiers(path)) {
      if (specifier.startsWith(scope)) {
        const to = specifier.slice(scope.length).split("/")[0] ?? "";
        // A test may read cards with one package and judge them with another.
        if (!allowed(from, to) && !isTest(path)) wrong.push(`${path} imports ${specifier}`);
        if (from === "model") wrong.push(`${path} imports ${specifier}`);
      } else if (specifier.startsWith(".") && !isTest(path)) {
        const to = target(path, specifier);
        if (!to.startsWith(`packages/${from}/`)) wrong.push(`${path} reaches out of its package to ${specifier}`);
      }
    }
  }
  expect(wrong).toEqual([]);
});

test("the rule of imports tells right from wrong", () => {
  expect([allowed("model", "probe"), allowed("rules", "probe"), allowed("report", "cli")]).toEqual([
    false,
    false,
    false,
  ]);
  expect([allowed("rules", "model"), allowed("cli", "probe"), allowed("probe", "probe")]).toEqual([true, true, true]);
});

test("packages declare only what they may import", () => {
  const wrong: string[] = [];
  for (const path of files.filter((file) => /^packages\/[^/]+\/package\.json$/.test(file))) {
    const from = packageOf(path);
    const { dependencies = {} } = JSON.parse(projectText(path)) as { dependencies?: Record<string, string> };
    for (const name of Object.keys(dependencies)) {
      if (name.startsWith(scope) && !allowed(from, name.slice(scope.length))) wrong.push(`${path} depends on ${name}`);
    }
  }
  expect(wrong).toEqual([]);
});

/** Not in the bundle, see scripts/bundle.mjs: the command line, which is what is handed on, must bring them along. */
const besideBundle = ["fluent-ffmpeg", "ffprobe-static"];

test("each package declares the packages of others that it imports, and no more", () => {
  const wrong: string[] = [];
  expect(projectText("scripts/bundle.mjs")).toContain(`external: ${JSON.stringify(besideBundle).replace(",", ", ")}`);
  for (const path of files.filter((file) => /^packages\/[^/]+\/package\.json$/.test(file))) {
    const own = sources.filter((source) => packageOf(source) === packageOf(path) && !isTest(source));
    const texts = own.map(projectText).join("\n");
    const { dependencies = {} } = JSON.parse(projectText(path)) as { dependencies?: Record<string, string> };
    for (const name of Object.keys(dependencies)) {
      if (name.startsWith(scope) || (packageOf(path) === "cli" && besideBundle.includes(name))) continue;
      // One package is loaded by a name in a variable.
      if (!texts.includes(`"${name}"`) && !texts.includes(`"${name}/`)) wrong.push(`${path} does not need ${name}`);
    }
    for (const specifier of own.flatMap(specifiers)) {
      const name = specifier.split("/")[0] ?? "";
      if (/^[.@]|^node:/.test(specifier) || name in dependencies || name === "vitest") continue;
      wrong.push(`${path} does not declare ${name}`);
    }
  }
  expect(wrong).toEqual([]);
});

test("model, rules and report do not touch the machine", () => {
  const wrong = sources
    .filter((path) => pure.has(packageOf(path)) && !isTest(path))
    .flatMap((path) =>
      specifiers(path)
        .filter((specifier) => specifier.startsWith("node:"))
        .map((specifier) => `${path} imports ${specifier}`),
    );
  expect(wrong).toEqual([]);
});

test("no file is called index: entries have the name of their package", () => {
  expect(files.filter((path) => /(^|\/)index\.[mc]?[jt]sx?$/.test(path))).toEqual([]);
  for (const name of new Set(sources.map(packageOf))) {
    expect(sources).toContain(`packages/${name}/src/${name}.ts`);
  }
});

test("every exported name has a doc comment", () => {
  const wrong: string[] = [];
  for (const path of sources.filter((source) => !isTest(source))) {
    const lines = projectText(path).split("\n");
    lines.forEach((line, place) => {
      const name =
        /^export (?:declare )?(?:abstract )?(?:async )?(?:const|let|class|interface|type|function\*?) (\w+)/.exec(
          line,
        )?.[1];
      if (name !== undefined && !/\*\/\s*$/.test(lines[place - 1] ?? "")) wrong.push(`${path}:${place + 1} ${name}`);
    });
  }
  expect(wrong).toEqual([]);
});

test("no binary file larger than 4 kB is kept", () => {
  const large = files
    .map((path) => ({ path, bytes: projectBytes(path) }))
    .filter(({ bytes }) => bytes.length > largestBinaryBytes && isBinary(bytes))
    .map(({ path, bytes }) => `${path}: ${bytes.length} bytes`);
  expect(large).toEqual([]);
});
