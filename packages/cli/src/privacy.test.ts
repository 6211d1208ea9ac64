import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { homedir, hostname, tmpdir, userInfo } from "node:os";
import { join } from "node:path";
import { gunzipSync, inflateRawSync, inflateSync } from "node:zlib";
import type { Report } from "@goodgate/report";
import { afterAll, beforeAll, expect, test } from "vitest";
import { demoBriefFile, demoCardFolder, projectFolder, samplesFolder } from "../../../fixtures/places.ts";
import { goodgate, works } from "./built.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-privacy-"));
const card = join(folder, "card");

beforeAll(() => {
  cpSync(demoCardFolder, card, { recursive: true, preserveTimestamps: true });
  // Every sample too: positions come in text tracks, data tracks, sidecars, photographs and metadata.
  mkdirSync(join(card, "samples"));
  for (const name of readdirSync(samplesFolder)) {
    // Those that need a program for each file are left out for the time they take; they go the same way in the report.
    if (/^(mkv|avi|mxf|ts|card)-/.test(name)) continue;
    cpSync(join(samplesFolder, name), join(card, "samples", name), {
      recursive: true,
      filter: (path) => !path.endsWith("truth.json"),
    });
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const filesOf = (out: string): readonly (readonly [string, string])[] =>
  readdirSync(out, { recursive: true, encoding: "utf8" })
    .filter((name) => /\.\w+$/.test(name))
    .map((name) => [name, unpacked(readFileSync(join(out, name), "utf8"))] as const);

/** A text with what is packed in it: the page keeps the sheets of most clips compressed. */
function unpacked(text: string): string {
  const parts = [...text.matchAll(/[A-Za-z0-9+/]{400,}={0,2}/g)].map(([packed]) => {
    for (const open of [inflateRawSync, gunzipSync, inflateSync]) {
      try {
        return open(Buffer.from(packed, "base64")).toString("utf8");
      } catch {
        // Packed another way, or not at all.
      }
    }
    return "";
  });
  return [text, ...parts].join("\n");
}

const auditInto = (name: string, ...options: readonly string[]): string => {
  const out = join(folder, name);
  const run = goodgate(["audit", card, "--brief", demoBriefFile, "--out", out, ...options]);
  expect([run.status, run.stderr]).toEqual([1, ""]);
  return out;
};

/** Every number in a text that is as sharp as a coordinate to a metre, without its sign and its last digit. */
const sharpNumbers = (text: string): readonly string[] =>
  [...text.matchAll(/\d{1,3}\.\d{5,}/g)].map(([number]) => number.slice(0, -1));

test("--no-positions leaves every position out of every file, and nothing else names them", () => {
  const told = auditInto("told");
  const report = JSON.parse(readFileSync(join(told, "report.json"), "utf8")) as Report;
  const places = new Set(
    [...report.clips, ...report.stills].flatMap(({ facts }) =>
      ["location", "path"].flatMap((name) => sharpNumbers(JSON.stringify(facts[name] ?? ""))),
    ),
  );
  expect(places.size).toBeGreaterThan(20);
  const shown = filesOf(told)
    .map(([, text]) => text)
    .join("\n");
  expect([...places].some((place) => shown.includes(place))).toBe(true);
  const untold = auditInto("untold", "--no-positions");
  const page = readFileSync(join(untold, "report.html"), "utf8");
  // The search must reach into the packed sheets.
  expect(unpacked(page).length).toBeGreaterThan(page.length * 1.2);
  for (const [name, text] of filesOf(untold)) {
    const found = [...places].filter((place) => text.includes(place));
    expect([name, found]).toEqual([name, []]);
  }
  const facts = goodgate(["facts", card, "--no-positions"]).stdout;
  expect([...places].filter((place) => facts.includes(place))).toEqual([]);
});

test("what is handed over names neither this machine, nor its folders, nor its user", () => {
  const copied = join(folder, "copied");
  goodgate(["copy", card, copied, "--brief", demoBriefFile]);
  goodgate(["seal", card, "--brief", demoBriefFile, "--out", join(folder, "sealed")]);
  const { username } = userInfo();
  const private_ = [projectFolder, folder, tmpdir(), homedir(), process.cwd()].filter((path) => path.length > 4);
  const people = [hostname(), username].filter((name) => name.length > 4);
  const outputs = [auditInto("handed"), join(folder, "sealed"), copied];
  let looked = 0;
  for (const out of outputs) {
    for (const name of readdirSync(out).filter((each) => /\.(html|json|csv|otio|md|txt|sha256)$/.test(each))) {
      const text = readFileSync(join(out, name), "utf8");
      looked += 1;
      expect([name, [...private_, ...people].filter((word) => text.includes(word))]).toEqual([name, []]);
    }
  }
  expect(looked).toBeGreaterThan(15);
});

const canDeny = works("unshare", "-n", "true");

test.skipIf(!canDeny)("an audit without any network gives the same report", () => {
  const masked = (text: string): unknown => {
    const report = JSON.parse(text) as Report;
    return { ...report, card: { ...report.card, freeBytes: 0 }, audit: { ...report.audit, startedAt: "", seconds: 0 } };
  };
  const args = ["audit", demoCardFolder, "--brief", demoBriefFile, "--json"];
  const without = goodgate(args, { before: ["unshare", "-n"] });
  expect(without.stderr).toBe("");
  expect(masked(without.stdout)).toEqual(masked(goodgate(args).stdout));
});

test.skipIf(!works("strace", "-V"))("no process of an audit so much as asks for an internet socket", () => {
  const few = join(folder, "few");
  for (const name of ["mkv-srt-track", "mp4-camm", "ts-st0601"])
    cpSync(join(samplesFolder, name), join(few, name), { recursive: true });
  const log = join(folder, "sockets.txt");
  const run = goodgate(["audit", few, "--json", "--second-reader"], {
    before: ["strace", "-f", "-qq", "-e", "trace=socket,connect,execve", "-o", log],
  });
  expect((JSON.parse(run.stdout) as Report).clips).toHaveLength(3);
  const seen = readFileSync(log, "utf8");
  // The second reader ran, so its calls were watched too.
  expect(seen).toMatch(/execve\(.*ffprobe/);
  expect(seen.split("\n").filter((line) => line.includes("AF_INET"))).toEqual([]);
});
