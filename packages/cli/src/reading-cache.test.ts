import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { clipText } from "@goodgate/model";
import { afterAll, beforeEach, expect, test } from "vitest";
import { makeMovie } from "../../probe/src/containers/isobmff/make-movie.ts";
import { madeIo } from "./made-io.ts";
import { type CardReading, readCard } from "./read-card.ts";
import { cacheFolder, openCache } from "./reading-cache.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-cache-"));
const card = join(folder, "CARD");
const kept = join(folder, "kept");
const clip = join(card, "FLY_0001.MP4");
const cues = join(card, "FLY_0001.SRT");
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const movie = (frames: number): Uint8Array =>
  makeMovie({ tracks: [{ durations: [[frames, 1000]], sizes: Array.from({ length: 50 }, () => 100) }] });
const cue = (iso: number): string =>
  `1\n00:00:00,000 --> 00:00:02,000\n[iso: ${iso}] [shutter: 1/50.0] [fnum: 2.8]\n\n`;
const when = new Date(Date.UTC(2024, 4, 5, 9));

beforeEach(() => {
  rmSync(kept, { recursive: true, force: true });
  rmSync(card, { recursive: true, force: true });
  mkdirSync(card, { recursive: true });
  writeFileSync(clip, movie(50));
  writeFileSync(cues, cue(100));
  writeFileSync(join(card, "FLY_0002.MP4"), movie(50));
  for (const name of readdirSync(card)) utimesSync(join(card, name), when, when);
});

const read = async (fresh = false, readers = "r"): Promise<CardReading> => {
  const cache = await openCache([card], fresh, readers, kept);
  const reading = await readCard([card], cache === undefined ? {} : { cache }, madeIo());
  await cache?.leave();
  return reading;
};
const frames = (reading: CardReading): unknown => [...reading.clips].map((each) => each.facts.frames);
/** All that was read, without the time it took. */
const facts = (reading: CardReading): readonly string[] =>
  [...reading.clips].map((each) => clipText({ ...each, cost: { bytes: 0, calls: 0, milliseconds: 0 } }));
const iso = (reading: CardReading): unknown => {
  const value = reading.clips.at(0)?.facts.iso;
  return value?.state === "read" ? value.value.values : value;
};

test("a second reading of an unchanged card takes every clip from the first, equal to the last bit", async () => {
  const first = await read();
  const second = await read();
  expect(first.earlier.count).toBe(0);
  expect(second.earlier.count).toBe(2);
  expect(second.earlier.bytes).toBe([...first.clips].reduce((sum, each) => sum + each.cost.bytes, 0));
  expect([...second.clips].map(clipText)).toEqual([...first.clips].map(clipText));
});

test("a file of the same name and size that was written again is read again, even with its old time put back", async () => {
  await read();
  const { size } = statSync(cues);
  writeFileSync(cues, cue(800));
  utimesSync(cues, when, when);
  expect(statSync(cues)).toMatchObject({ size, mtimeMs: when.getTime() });
  const second = await read();
  expect(second.earlier.count).toBe(1);
  expect(iso(second)).toEqual([800]);
});

test("a longer file, one written later, and a sidecar come or gone are read again", async () => {
  await read();
  writeFileSync(clip, movie(60));
  utimesSync(clip, when, when);
  expect(frames(await read())).toEqual(frames(await read(true)));
  utimesSync(cues, when, new Date(when.getTime() + 2000));
  expect((await read()).earlier.count).toBe(1);
  rmSync(cues);
  const without = await read();
  expect(without.earlier.count).toBe(1);
  expect(iso(without)).toMatchObject({ state: "absent" });
});

test("a file replaced by another through a rename is read again", async () => {
  await read();
  const other = join(folder, "other.MP4");
  const bytes = movie(50);
  bytes[bytes.length - 1] = 7;
  writeFileSync(other, bytes);
  utimesSync(other, when, when);
  rmSync(clip);
  renameSync(other, clip);
  expect((await read()).earlier.count).toBe(1);
});

test("--fresh reads everything anew and keeps it; other readers take nothing", async () => {
  await read();
  expect((await read(true)).earlier.count).toBe(0);
  expect((await read()).earlier.count).toBe(2);
  expect((await read(false, "a newer goodgate")).earlier.count).toBe(0);
});

test("a cache that was altered or cut counts for nothing", async () => {
  const first = await read();
  const [name = ""] = readdirSync(join(kept, "cards"));
  const path = join(kept, "cards", name, ".goodgate-journal");
  const text = readFileSync(path, "latin1");
  writeFileSync(path, text.replaceAll('"50"', '"51"').replaceAll("1/50", "1/99"), "latin1");
  expect(facts(await read())).toEqual(facts(first));
  writeFileSync(path, text.slice(0, 200), "latin1");
  expect(facts(await read())).toEqual(facts(first));
});

test("a cache inside the card, or in a place that cannot be written, is none", async () => {
  expect(await openCache([card], false, "r", join(card, "cache"))).toBeUndefined();
  expect(readdirSync(card)).not.toContain("cache");
  expect(await openCache([card], false, "r", join(clip, "cache"))).toBeUndefined();
});

test("the cache lies where the system keeps what can be made again", () => {
  expect(cacheFolder({ XDG_CACHE_HOME: "/tmp/x" }, "linux")).toBe(join("/tmp/x", "goodgate"));
  expect(cacheFolder({ XDG_CACHE_HOME: "relative" }, "linux")).toMatch(/\.cache.goodgate$/);
  expect(cacheFolder({ LOCALAPPDATA: "L" }, "win32")).toBe(join("L", "goodgate", "Cache"));
  expect(cacheFolder({}, "darwin")).toMatch(/Library.Caches.goodgate$/);
  expect(cacheFolder({ GOODGATE_CACHE: "mine" }, "linux")).toBe("mine");
});
