import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { type Card, type Clip, type Still, toNumber, valueOf } from "@goodgate/model";
import { beforeAll, describe, expect, test } from "vitest";
import { samplesFolder } from "../../../fixtures/places.ts";
import { findCard } from "./card/find-card.ts";
import { joinSpans } from "./card/join-spans.ts";
import type { FfprobeProgram } from "./contracts.ts";
import { findFfprobe } from "./ffprobe/find-ffprobe.ts";
import { comparators, prose } from "./made-truth.ts";
import { readClip } from "./read-clip.ts";
import { readStill } from "./stills/read-still.ts";

const { signal } = new AbortController();
const names = readdirSync(samplesFolder).filter((name) => existsSync(join(samplesFolder, name, "truth.json")));
const truthOf = (name: string): Readonly<Record<string, unknown>> =>
  JSON.parse(readFileSync(join(samplesFolder, name, "truth.json"), "utf8")) as Record<string, unknown>;

interface SampleReading {
  readonly card: Card;
  readonly clips: readonly Clip[];
  readonly stills: readonly Still[];
}

let program: FfprobeProgram | undefined;
beforeAll(async () => {
  // The bundled one alone, so that the outcome is the same on every machine.
  program = await findFfprobe({ PATH: "" });
  expect(program?.from).toBe("bundled");
});

async function readSample(name: string): Promise<SampleReading> {
  const card = await findCard([join(samplesFolder, name)], signal);
  const clips: Clip[] = [];
  for (const found of card.clips) {
    clips.push(await readClip(found, { signal, ffprobe: () => Promise.resolve(program) }));
  }
  const stills: Still[] = [];
  for (const found of card.stills) stills.push(await readStill(found, signal));
  return { card, clips, stills };
}

/** Samples that are a whole tree; each is judged by a test of its own. */
const trees = new Set(["card-avchd", "card-chapters", "card-dcf"]);
/** Photographs. */
const photographs = names.filter(
  (name) => "taken" in truthOf(name) || "iso_why" in truthOf(name) || name === "dng-like",
);
const clips = names.filter((name) => !trees.has(name) && !photographs.includes(name));

test("every key of every truth is either compared or said to be prose", () => {
  const open = clips.flatMap((name) =>
    Object.keys(truthOf(name))
      .filter((key) => !Object.hasOwn(comparators, key) && !Object.hasOwn(prose, key) && key !== "role")
      .map((key) => `${name}: ${key}`),
  );
  expect(open).toEqual([]);
  expect(Object.keys(comparators).filter((key) => Object.hasOwn(prose, key))).toEqual([]);
  const all = new Set(names.flatMap((name) => Object.keys(truthOf(name))));
  expect(Object.keys(comparators).filter((key) => !all.has(key))).toEqual([]);
});

describe("every sample is read as its truth says", () => {
  test.each(clips)("%s", async (name) => {
    const reading = await readSample(name);
    const [clip] = reading.clips;
    expect(reading.clips).toHaveLength(1);
    if (clip === undefined) return;
    expect(clip.notFootage).toBeUndefined();
    const truth = truthOf(name);
    for (const [key, said] of Object.entries(truth)) comparators[key]?.(said, clip);
    const own = valueOf(clip.facts.container) === "iso-bmff" || truth["state"] === "damaged";
    expect(clip.readers).toEqual(own ? ["goodgate"] : [`ffprobe ${program?.version}`]);
    for (const reading of Object.values(clip.facts)) {
      if (reading.state !== "read") expect(reading.why).not.toBe("");
    }
  });
});

test("of a clip with thumbnail and proxy, the proxy's facts are the proxy's and the thumbnail's Exif is not the clip's", async () => {
  const { clips: found } = await readSample("thm-lrv");
  const [clip] = found;
  expect(clip?.files.map((file) => file.role).sort()).toEqual(["original", "proxy", "thumbnail"]);
  expect(valueOf(clip?.proxyFacts?.width)).toBeLessThan(valueOf(clip?.facts.width) ?? 0);
  expect(valueOf(clip?.proxyFacts?.frames)).toBe(50);
  expect(clip?.facts.iso).toMatchObject({
    state: "absent",
    why: expect.stringMatching(/; the thumbnail's ISO \d+ is of another exposure$/),
  });
});

describe("every photograph is read as its truth says", () => {
  test.each(photographs)("%s", async (name) => {
    const truth = truthOf(name);
    const [still] = (await readSample(name)).stills;
    expect(valueOf(still?.iso)).toBe(truth["iso"]);
    const near = (found: number | undefined, key: string, slack: number): void => {
      if (key in truth) expect(Math.abs((found ?? Number.NaN) - Number(truth[key])), key).toBeLessThanOrEqual(slack);
    };
    const shutter = valueOf(still?.shutterSeconds);
    near(shutter === undefined ? undefined : toNumber(shutter), "shutter_s", 1e-9);
    near(valueOf(still?.fNumber), "f_number", 1e-6);
    near(valueOf(still?.exposureBias), "ev", 1e-3);
    near(valueOf(still?.focalLength35mm), "focal_35mm", 0);
    near(valueOf(still?.location)?.latitudeDegrees, "lat", 1e-6);
    near(valueOf(still?.location)?.longitudeDegrees, "lon", 1e-6);
    const taken = valueOf(still?.takenAt);
    if ("taken" in truth) expect(taken?.epochMilliseconds).toBe(Date.parse(String(truth["taken"])));
    if ("taken_local" in truth) expect(taken).toMatchObject({ text: truth["taken_local"], zone: truth["utc_offset"] });
  });
});

test("chapters of two recordings are joined by evidence, though their names interleave", async () => {
  const { card, clips: found } = await readSample("card-chapters");
  const truth = truthOf("card-chapters");
  const joined = joinSpans(found);
  expect(joined).toHaveLength(Number(truth["recordings"]));
  const stems = joined.map((clip) =>
    clip.files.filter((file) => file.role !== "thumbnail").map((file) => file.path.replace(/^.*\/|\.\w+$/g, "")),
  );
  expect(stems.sort((a, b) => b.length - a.length)).toEqual(Object.values(truth["chapters"] as object));
  expect(card.layout).toContain("DCF");
});

test("a DCF card has its clips, its empty file and none of the junk", async () => {
  const { card, clips: found } = await readSample("card-dcf");
  const truth = truthOf("card-dcf");
  const empty = found.filter((clip) => clip.facts.structure?.state === "damaged");
  expect(empty).toHaveLength(Number(truth["empty"]));
  expect(empty[0]?.facts.structure).toMatchObject({ why: "the file is empty" });
  expect(found).toHaveLength(Number(truth["clips"]));
  const touched = found.flatMap((clip) => clip.files.map((file) => file.path));
  for (const junk of truth["junk"] as readonly string[]) {
    expect(touched.filter((path) => path.includes(junk))).toEqual([]);
    expect(
      card.skipped.some((skipped) => skipped.path.includes(junk)),
      junk,
    ).toBe(true);
  }
  expect(card.remarks.map((remark) => remark.kind)).toContain("name-collision");
});

test("a transport-stream tree is known by its folders and its broken stream is damage, not silence", async () => {
  const { card, clips: found } = await readSample("card-avchd");
  expect(card.layout).toBe("transport-stream tree");
  expect(found).toHaveLength(1);
  expect(found[0]?.facts.structure?.state).toBe("damaged");
});
