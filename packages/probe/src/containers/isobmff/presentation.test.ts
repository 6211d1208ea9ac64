import { expect, test } from "vitest";
import type { Table } from "./boxes.ts";
import { be } from "./make-movie.ts";
import { pictureTimes } from "./presentation.ts";

type Runs = readonly (readonly [number, number])[];

function timesOf(durations: Runs, offsets: Runs | undefined, timescale = 25) {
  const all = [...durations, ...(offsets ?? [])];
  const bytes = be(4, ...all.flat());
  const view = new DataView(bytes.buffer);
  const stts: Table = { at: 0, count: durations.length };
  const ctts = offsets === undefined ? undefined : { at: 8 * durations.length, count: offsets.length };
  return pictureTimes(view, stts, ctts, timescale);
}

const intervals = (times: ReturnType<typeof timesOf>): number[] => {
  const list: number[] = [];
  times?.visit((ticks, counts, length) => {
    for (let run = 0; run < length; run += 1) {
      for (let place = 0; place < (counts[run] ?? 0); place += 1) list.push(ticks[run] ?? 0);
    }
  });
  return list;
};

/** The intervals by the definition: all times worked out, sorted, subtracted. */
function byDefinition(durations: Runs, offsets: Runs): { first: number; list: number[] } {
  const shift = offsets.flatMap(([count, offset]) => Array.from({ length: count }, () => offset));
  let tick = 0;
  const times = durations
    .flatMap(([count, delta]) => Array.from({ length: count }, () => delta))
    .map((delta, place) => {
      const at = tick + (shift[place] ?? 0);
      tick += delta;
      return at;
    })
    .sort((a, b) => a - b);
  return { first: times[0] ?? 0, list: times.slice(1).map((time, place) => time - (times[place] ?? 0)) };
}

test("TI-020: durations are the differences of decode times (QuickTime file format, time-to-sample atom)", () => {
  const times = timesOf(
    [
      [4, 3],
      [2, 1],
      [3, 2],
    ],
    undefined,
  );
  expect(times?.mediaTicks).toBe(20);
  expect(intervals(times)).toEqual([3, 3, 3, 3, 1, 1, 2, 2]);
});

test("the last duration is no interval between pictures, but belongs to the length", () => {
  const times = timesOf(
    [
      [49, 1000],
      [1, 21],
    ],
    undefined,
  );
  expect(intervals(times)).toEqual(Array.from({ length: 49 }, () => 1000));
  expect(times?.mediaTicks).toBe(49_021);
  expect(times?.endTick).toBe(49_021);
});

test("TI-015: reordered pictures are as evenly spaced as decoded ones, first shown at the first offset", () => {
  // I P B B, as ffmpeg 5.1.9 with libx264 and two B-frames writes: 1024, 2560, 1024, 0 … with 512 a frame.
  const offsets = Array.from(
    { length: 250 },
    (_, place) => [1, place === 0 ? 1024 : ([2048, 512, 512][(place - 1) % 3] ?? 0)] as const,
  );
  const times = timesOf([[250, 512]], offsets, 12_800);
  expect(times?.firstTick).toBe(1024);
  expect(new Set(intervals(times))).toEqual(new Set([512]));
  expect(times?.endTick).toBe(1024 + 250 * 512);
});

test("negative offsets count as such, in either version of the box", () => {
  const times = timesOf(
    [[4, 10]],
    [
      [1, 0],
      [1, 20],
      [2, -10],
    ],
  );
  expect(times?.firstTick).toBe(0);
  expect(intervals(times)).toEqual([10, 10, 10]);
});

test("one offset for all pictures only moves them", () => {
  const times = timesOf([[5, 10]], [[5, 30]]);
  expect(times?.firstTick).toBe(30);
  expect(intervals(times)).toEqual([10, 10, 10, 10]);
});

test("a place filled twice, or left empty, is seen as uneven", () => {
  const twice = timesOf(
    [[4, 10]],
    [
      [1, 10],
      [3, 0],
    ],
  );
  expect(intervals(twice)).toEqual([0, 10, 10]);
  const hole = timesOf(
    [[4, 10]],
    [
      [2, 0],
      [2, 10],
    ],
  );
  expect(intervals(hole)).toEqual([10, 20, 10]);
});

test("any offsets give what working out and sorting all times gives (seeded, 400 clips)", () => {
  let seed = 7;
  const random = (below: number): number => {
    seed = (Math.imul(seed, 1103515245) + 12345) >>> 0;
    return (seed >>> 8) % below;
  };
  for (let round = 0; round < 400; round += 1) {
    const frames = 1 + random(60);
    const delta = 10;
    // Pictures change places inside groups, as encoders do; every third clip also has uneven durations.
    const order = Array.from({ length: frames }, (_, place) => place);
    for (let at = 0; at + 4 <= frames; at += 4) {
      const group = order.slice(at, at + 4).sort(() => random(3) - 1);
      order.splice(at, 4, ...group);
    }
    const uneven = round % 3 === 0;
    const durations = Array.from({ length: frames }, () => [1, uneven ? delta + random(3) : delta] as const);
    let tick = 0;
    const offsets = order.map((shown, place) => {
      const offset = shown * delta - tick + (round % 5 === 0 ? random(2) : 0);
      tick += durations[place]?.[1] ?? 0;
      return [1, offset] as const;
    });
    const times = timesOf(durations, offsets);
    const truth = byDefinition(durations, offsets);
    expect(intervals(times)).toEqual(truth.list);
    expect(times?.firstTick).toBe(truth.first);
  }
});

test("a count of four thousand million is refused where it would have to be sorted, and summed where not", () => {
  expect(
    timesOf(
      [[0xffffffff, 1]],
      [
        [1, 5],
        [1, 6],
      ],
    ),
  ).toBeUndefined();
  const times = timesOf([[0xffffffff, 1]], undefined);
  expect(times?.mediaTicks).toBe(0xffffffff);
});

test("no pictures have no times", () => {
  expect(timesOf([], undefined)).toBeUndefined();
  expect(timesOf([[0, 5]], [[1, 2]])).toBeUndefined();
});
