import { join } from "node:path";
import { type Clip, ratioText, toNumber, valueOf } from "@goodgate/model";
import { describe, expect, test } from "vitest";
import { samplesFolder } from "../../../fixtures/places.ts";
import { findCard } from "./card/find-card.ts";
import { fileOf, makeMovie, type TrackPlan } from "./containers/isobmff/make-movie.ts";
import { readIsoMedia } from "./containers/isobmff/isobmff.ts";
import { readClip } from "./read-clip.ts";

// What people stumble over with general readers: each is laid in front of ours.
const { signal } = new AbortController();

async function sample(name: string): Promise<Clip> {
  const card = await findCard([join(samplesFolder, name)], signal);
  const [found] = card.clips;
  if (found === undefined) throw new Error(`no clip in ${name}`);
  return await readClip(found, { signal });
}

const sizes = (count: number): number[] => Array.from({ length: count }, () => 900);
const even = (count: number, ticks: number): TrackPlan["durations"] => [[count, ticks]];
async function factsOf(track: Partial<TrackPlan> & Pick<TrackPlan, "durations">) {
  const count = track.durations.reduce((sum, [one]) => sum + one, 0);
  const reading = await readIsoMedia(fileOf(makeMovie({ tracks: [{ sizes: sizes(count), ...track }] })), signal);
  const facts = reading?.facts ?? {};
  const rate = valueOf(facts.frameRate);
  return {
    rate: rate === undefined ? undefined : ratioText(rate),
    kind: valueOf(facts.timing)?.kind,
    lost: valueOf(facts.timing)?.lostFrames,
    frames: valueOf(facts.frames),
    seconds: toNumber(valueOf(facts.durationSeconds) ?? { numerator: -1n, denominator: 1n }),
  };
}

describe("a rate that is a least common multiple", () => {
  test("one frame a tick late makes neither 600 frames a second nor a variable clip", async () => {
    // Intervals of 20 and 21 of 600: the smallest rate that holds both is 600.
    const found = await factsOf({
      timescale: 600,
      durations: [
        [200, 20],
        [1, 21],
        [200, 20],
      ],
    });
    expect(found).toMatchObject({ rate: "30/1", kind: "rounded", frames: 401 });
  });

  test("a clip that truly varies has the rate of its commonest interval and is said to vary", async () => {
    const { facts } = await sample("mp4-vfr");
    expect(ratioText(valueOf(facts.frameRate) ?? { numerator: 0n, denominator: 1n })).toBe("30/1");
    expect(valueOf(facts.timing)?.kind).toBe("variable");
  });
});

describe("a rate thrown off by the length of the last frame", () => {
  test.each([1, 21, 2000, 25_000])("a last frame of %d ticks", async (last) => {
    const found = await factsOf({
      timescale: 25_000,
      durations: [
        [49, 1000],
        [1, last],
      ],
    });
    expect(found).toMatchObject({ rate: "25/1", kind: "constant", frames: 50 });
  });
});

describe("a coarse clock that makes a constant clip look variable", () => {
  /** Intervals as a clock of whole ticks rounds the times of an even rate. */
  const rounded = (timescale: number, over: number, under: number, count: number): TrackPlan["durations"] =>
    Array.from({ length: count }, (_, at): [number, number] => {
      const time = (frame: number): number => Math.round((frame * timescale * under) / over);
      return [1, time(at + 1) - time(at)];
    });

  test.each([
    [600, 30_000, 1001],
    [600, 24_000, 1001],
    [600, 60_000, 1001],
    [1000, 30_000, 1001],
    [1000, 60_000, 1001],
    [1000, 24, 1],
    [1000, 120_000, 1001],
  ])("1/%d s and %d/%d", async (timescale, over, under) => {
    const found = await factsOf({ timescale, durations: rounded(timescale, over, under, 600) });
    expect(found).toMatchObject({ rate: `${over}/${under}`, kind: "rounded", lost: 0 });
  });

  test("a frame missing on such a clock is one slip and no more", async () => {
    const list = [...rounded(1000, 30_000, 1001, 300)];
    const [, before = 33] = list[100] ?? [];
    list.splice(100, 2, [1, before + 33]);
    const found = await factsOf({ timescale: 1000, durations: list });
    expect(found).toMatchObject({ rate: "30000/1001", kind: "slips", lost: 1 });
  });
});

test("a buffer-model flag in the codec's header is a hint and never the cadence", async () => {
  const { facts } = await sample("mp4-slow-vui");
  expect(valueOf(facts.timing)?.kind).toBe("constant");
  expect(ratioText(valueOf(facts.frameRate) ?? { numerator: 0n, denominator: 1n })).toBe("30/1");
  expect(ratioText(valueOf(facts.codecRate) ?? { numerator: 0n, denominator: 1n })).toBe("120/1");
});

describe("edit lists", () => {
  test("a delay, a cut and a slowed stretch change what is shown and leave the pictures as they are", async () => {
    const edited = (edits: NonNullable<TrackPlan["edits"]>) => factsOf({ durations: even(50, 1000), edits });
    // Movie clock 1000, media clock 25,000; an empty edit of 0.4 s, a start at 0.5 s, half speed.
    expect(
      await edited([
        [400, -1, 65_536],
        [2000, 0, 65_536],
      ]),
    ).toMatchObject({ seconds: 2, frames: 50, rate: "25/1" });
    expect(await edited([[1500, 12_500, 65_536]])).toMatchObject({ seconds: 1.5, frames: 50, rate: "25/1" });
    expect(await edited([[4000, 0, 32_768]])).toMatchObject({ seconds: 4, frames: 50, rate: "25/1" });
  });
});

test("of a file of gigabytes the index is read, not the pictures", async () => {
  // The made file is all there in memory; what counts is what is asked of it.
  const file = fileOf(makeMovie({ tracks: [{ durations: even(1000, 1000), sizes: Array(1000).fill(20_000) }] }));
  expect(file.size).toBeGreaterThan(20_000_000);
  const reading = await readIsoMedia(file, signal);
  expect(valueOf(reading?.facts.frames)).toBe(1000);
  expect(file.cost.bytes).toBeLessThan(80_000);
});
