import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { parse } from "../packages/model/node_modules/yaml/dist/index.js";
import { projectFiles, projectFolder, projectText } from "./check-files.ts";
import { licencesPage, licencesText, runtimePackages } from "./licences.ts";

/** Licences that may be handed on inside the program without asking more than to be named. */
const free = new Set(["MIT", "ISC", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "0BSD", "BlueOak-1.0.0", "CC0-1.0"]);

test("the list of licences is current, and all the program is made of may be handed on", () => {
  expect(existsSync(licencesPage) ? readFileSync(licencesPage, "utf8") : "", "run tsx scripts/licences.ts").toBe(
    licencesText(),
  );
  expect(runtimePackages().filter(({ licence }) => !free.has(licence))).toEqual([]);
  expect(runtimePackages().length).toBeGreaterThan(20);
});

const manifests = projectFiles().filter((path) => /(^|packages\/[^/]+\/)package\.json$/.test(path));

test("every version is exact, and the package manager too", () => {
  const loose: string[] = [];
  for (const path of manifests) {
    const manifest = JSON.parse(projectText(path)) as Record<string, Record<string, string> | undefined>;
    for (const kind of ["dependencies", "devDependencies", "optionalDependencies", "peerDependencies"]) {
      for (const [name, version] of Object.entries(manifest[kind] ?? {})) {
        if (version !== "workspace:*" && !/^\d+\.\d+\.\d+$/.test(version)) loose.push(`${path}: ${name} ${version}`);
      }
    }
  }
  expect(manifests.length).toBeGreaterThan(5);
  expect(loose).toEqual([]);
  expect(JSON.parse(projectText("package.json")).packageManager).toMatch(/^pnpm@\d+\.\d+\.\d+$/);
});

test("every package in the lock comes from the registry with a checksum", () => {
  const lock = parse(projectText("pnpm-lock.yaml")) as {
    readonly packages: Readonly<Record<string, { readonly resolution: Readonly<Record<string, string>> }>>;
  };
  const packages = Object.entries(lock.packages);
  expect(packages.length).toBeGreaterThan(100);
  const odd = packages.filter(
    ([, { resolution }]) =>
      !(resolution["integrity"] ?? "").startsWith("sha512-") || Object.keys(resolution).length !== 1,
  );
  expect(odd.map(([name]) => name)).toEqual([]);
});

test("no install script runs, and every package that has one is named", () => {
  const rules = parse(projectText("pnpm-workspace.yaml")) as Readonly<Record<string, readonly string[] | undefined>>;
  expect(rules["onlyBuiltDependencies"]).toBeUndefined();
  expect(rules["dangerouslyAllowAllBuilds"]).toBeUndefined();
  const store = join(projectFolder, "node_modules/.pnpm");
  const withScripts = readdirSync(store).flatMap((place) => {
    const folder = join(store, place, "node_modules");
    if (!existsSync(folder)) return [];
    return readdirSync(folder, { withFileTypes: true })
      .flatMap((entry) =>
        entry.name.startsWith("@") && entry.isDirectory()
          ? readdirSync(join(folder, entry.name)).map((name) => `${entry.name}/${name}`)
          : [entry.name],
      )
      .filter((name) => place.startsWith(`${name.replace("/", "+")}@`))
      .filter((name) => {
        const { scripts = {} } = JSON.parse(readFileSync(join(folder, name, "package.json"), "utf8"));
        return ["preinstall", "install", "postinstall"].some((kind) => kind in scripts);
      });
  });
  expect(withScripts.length).toBeGreaterThan(0);
  expect(withScripts.filter((name) => rules["ignoredBuiltDependencies"]?.includes(name) !== true)).toEqual([]);
});

/** ffmpeg's pipe is a socket for Node, and is read as one there; nothing in that file may connect or listen. */
const pipeReader = "packages/measure/src/frame-sink.ts";

test("no module of ours speaks to a network", () => {
  const modules = /["'](?:node:)?(?:http|https|http2|net|dns|tls|dgram)(?:\/promises)?["']/;
  const calls = /\b(?:fetch|WebSocket|EventSource|XMLHttpRequest|sendBeacon)\s*\(/;
  const sources = projectFiles().filter(
    (path) => /^packages\/[^/]+\/src\/.*\.[jt]s$/.test(path) && !path.endsWith(".test.ts"),
  );
  expect(sources.length).toBeGreaterThan(100);
  const reaching = /\b(?:connect|createConnection|createServer|listen)\b|\b(?:host|port|path)\s*:/;
  const speaks = (path: string, text: string): boolean =>
    calls.test(text) || (path === pipeReader ? reaching : modules).test(text);
  expect(sources.filter((path) => speaks(path, projectText(path)))).toEqual([]);
  expect(modules.test('import { get } from "node:https";') && calls.test("await fetch(url)")).toBe(true);
  expect(projectText(pipeReader)).toContain('import { Socket } from "node:net";');
  expect(speaks(pipeReader, "reader.connect(443)") && speaks(pipeReader, "{ port: 443 }")).toBe(true);
});

test("programs are started with lists of arguments, never through a shell", () => {
  const sources = projectFiles().filter(
    (path) => /^packages\/[^/]+\/src\/.*\.[jt]s$/.test(path) && !path.endsWith(".test.ts"),
  );
  const shells =
    /\b(?:exec|execSync)\s*\(\s*["'`]|\bshell:\s*true|\bimport\s*\{[^}]*\bexec(?:Sync)?\b[^}]*\}\s*from\s*"node:child_process"/;
  expect(sources.filter((path) => shells.test(projectText(path)))).toEqual([]);
  expect(shells.test('import { exec } from "node:child_process"') && shells.test("{ shell: true }")).toBe(true);
});
