import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pace } from "@goodgate/probe";
import type { Report } from "@goodgate/report";
import { afterAll, beforeEach, expect, test } from "vitest";
import { demoBriefFile, demoCardFolder, samplesFolder } from "../../../fixtures/places.ts";
import { main } from "./cli.ts";
import { type Fault, withFault } from "./faulty-disk.ts";
import { madeIo } from "./made-io.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-faults-"));
const card = join(folder, "card");
const films = ["FLY_0001", "FLY_0002", "FLY_0003", "FLY_0024"];

beforeEach(() => {
  rmSync(card, { recursive: true, force: true });
  mkdirSync(card);
  for (const name of films) {
    for (const ending of ["MP4", "SRT", "JPG"]) {
      const path = join(demoCardFolder, `DCIM/100FLYER/${name}.${ending}`);
      if (existsSync(path)) cpSync(path, join(card, `${name}.${ending}`), { preserveTimestamps: true });
    }
  }
  cpSync(join(samplesFolder, "mp4-camm/clip.mp4"), join(card, "CAMM_0001.MP4"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Audited {
  readonly code: number;
  readonly report?: Report;
  readonly told: string;
}

async function audit(): Promise<Audited> {
  const io = madeIo();
  const code = await main(["audit", card, "--brief", demoBriefFile, "--json", "--jobs", "1", "--no-cache"], io);
  const text = io.printed.join("");
  return { code, told: io.told.join("\n"), ...(text === "" ? {} : { report: JSON.parse(text) as Report }) };
}

/** What is said of each clip, as text, without what a clip cost to read. */
const factsOf = (report: Report): ReadonlyMap<string, { verdict: string; facts: string }> =>
  new Map(
    report.clips.map((clip) => [
      clip.name,
      {
        verdict: clip.verdict,
        facts: JSON.stringify(Object.entries(clip.facts).filter(([name]) => name !== "fileBytes")),
      },
    ]),
  );

/** Says what is wrong with an audit made while the disk failed, beside one of the whole card. */
function wrongIn(found: Audited, good: Report): string | undefined {
  if (found.code === 3 || /fault of goodgate/.test(found.told + JSON.stringify(found.report ?? "")))
    return `goodgate failed: ${found.told}`;
  if (found.report === undefined)
    return found.code === 2 && found.told !== "" ? undefined : `code ${found.code} and no report`;
  const was = factsOf(good);
  for (const [name, { verdict, facts }] of factsOf(found.report)) {
    const before = was.get(name);
    if (before === undefined) return `${name} was made up`;
    const passes = verdict === "clean" || verdict === "workable";
    if (passes && facts !== before.facts) return `${name} passes as ${verdict} on other facts`;
  }
  const told = JSON.stringify([found.report.clips.map((clip) => clip.files), found.report.audit.skipped]);
  for (const clip of good.clips)
    if (!told.includes(clip.name) && !told.includes('"."')) return `${clip.name} vanished without a word`;
  return undefined;
}

/** Tries a fault at every call of an audit, one audit a call. */
async function atEveryCall(
  make: (at: number) => Fault,
  step = 1,
  quick = (at: number): boolean => Math.floor(at / 2) % 2 === 0,
): Promise<{ tried: number; wrong: readonly string[]; unlike: number }> {
  pace.quick = quick(0);
  const { result, calls } = await withFault(card, undefined, audit);
  const good = result.report as Report;
  const wrong: string[] = [];
  let unlike = 0;
  let tried = 0;
  for (let at = 0; at < calls; at += step) {
    // A card is asked at once or in the background, whichever suits it: both ways must stand the fault.
    pace.quick = quick(at);
    const { result: found } = await withFault(card, make(at), audit);
    tried += 1;
    const says = wrongIn(found, good);
    if (says !== undefined) wrong.push(`call ${at}: ${says}`);
    if (found.report === undefined || JSON.stringify([...factsOf(found.report)]) !== JSON.stringify([...factsOf(good)]))
      unlike += 1;
  }
  return { tried, wrong: wrong.slice(0, 5), unlike };
}

test.each([
  ["asked at once", true],
  ["asked in the background", false],
] as const)(
  "a card %s and pulled out at any moment gives no wrong pass and no failure of goodgate",
  { timeout: 120_000 },
  async (_name, quick) => {
    const { tried, wrong, unlike } = await atEveryCall(
      (at) => ({ at, kind: "pulled", code: at % 2 === 0 ? "EIO" : "ENOENT" }),
      1,
      () => quick,
    );
    expect(wrong).toEqual([]);
    expect(tried).toBeGreaterThan(50);
    // Nearly every moment must matter, or the faults miss what is read.
    expect(unlike).toBeGreaterThan(tried * 0.8);
  },
);

test("a single read that fails gives no wrong pass", { timeout: 120_000 }, async () => {
  const { wrong, unlike, tried } = await atEveryCall((at) => ({ at, kind: "once" }), 2);
  expect(wrong).toEqual([]);
  expect(unlike).toBeGreaterThan(tried * 0.5);
});

test("a file that ends while it is read gives no wrong pass", { timeout: 120_000 }, async () => {
  const { wrong } = await atEveryCall((at) => ({ at, kind: "short" }), 3);
  expect(wrong).toEqual([]);
});

test("files that vanish, shrink or change while they are read give no wrong pass", { timeout: 120_000 }, async () => {
  const name = "FLY_0001.MP4";
  const bytes = readFileSync(join(card, name));
  const { result, calls } = await withFault(card, undefined, audit);
  const good = result.report as Report;
  // As a person adds files, a camera closes one, a disk tool repairs: at any moment of the audit.
  const changes: readonly (() => void)[] = [
    () => rmSync(join(card, name), { force: true }),
    () => truncateSync(join(card, name), 1000),
    () => writeFileSync(join(card, name), Buffer.alloc(50_000, "x")),
  ];
  const wrong: string[] = [];
  let told = 0;
  for (let at = 0; at < calls; at += 1) {
    pace.quick = Math.floor(at / 3) % 2 === 0;
    const { result: found } = await withFault(card, { at, kind: "then", change: () => changes[at % 3]?.() }, audit);
    writeFileSync(join(card, name), bytes);
    const says = wrongIn(found, good);
    // A file taken away before the card is listed is not on the card.
    if (says !== undefined && !says.startsWith(`${name} vanished`)) wrong.push(`call ${at}: ${says}`);
    if (JSON.stringify(found.report ?? "").includes("changed while it was read")) told += 1;
  }
  expect(wrong).toEqual([]);
  expect(told).toBeGreaterThan(0);
});
