import {
  constantSeries,
  damaged,
  type Facts,
  mostRuns,
  type Origin,
  read,
  type Series,
  seriesBuilder,
  type Timing,
  valueOf,
} from "@goodgate/model";
import { expect, test } from "vitest";
import { madeClip } from "./made-clip.ts";
import { mergeFacts } from "./merge-facts.ts";

const origin: Origin = { kind: "container", file: "a", place: "test" };
const ten = (facts: Facts = {}): Facts => madeClip({ name: "a.MP4", frames: 250, facts }).facts;
const series = (facts: Facts): Series<number> => {
  const found = valueOf(facts.iso);
  if (found === undefined) throw new Error("no series");
  return found;
};

test("series follow each other: times are shifted, held times and records add up", () => {
  const merged = series(
    mergeFacts([
      ten({ iso: read(constantSeries(100, 10e6), origin) }),
      ten({ iso: read(constantSeries(400, 10e6), origin) }),
    ]),
  );
  expect(merged.values).toEqual([100, 400]);
  expect(merged.heldMicroseconds).toEqual([10e6, 10e6]);
  expect([...merged.runStarts]).toEqual([0, 10e6]);
  expect([...merged.runValues]).toEqual([0, 1]);
  expect([merged.endMicroseconds, merged.records, merged.coverage]).toEqual([20e6, 2, 1]);
});

test("a value that comes back is one value", () => {
  const merged = series(
    mergeFacts([
      ten({ iso: read(constantSeries(100, 10e6), origin) }),
      ten({ iso: read(constantSeries(100, 10e6), origin) }),
    ]),
  );
  expect(merged.values).toEqual([100]);
  expect(merged.heldMicroseconds).toEqual([20e6]);
});

test("a part without telemetry halves the coverage and shifts what follows", () => {
  const after = series(mergeFacts([ten(), ten({ iso: read(constantSeries(100, 10e6), origin) })]));
  expect(after.coverage).toBe(0.5);
  expect([...after.runStarts]).toEqual([10e6]);
  const before = series(mergeFacts([ten({ iso: read(constantSeries(100, 10e6), origin) }), ten()]));
  expect(before.coverage).toBe(0.5);
});

test("merged runs stay within the bound of a series", () => {
  const build = seriesBuilder<number>(String);
  for (let place = 0; place < 6000; place += 1) build.add(place % 2, place * 1000, (place + 1) * 1000);
  const long = build.finish(6e6);
  if (long === undefined) throw new Error("no series");
  const merged = series(
    mergeFacts([ten({ iso: read(long, origin) }), ten({ iso: read(long, origin) }), ten({ iso: read(long, origin) })]),
  );
  expect(merged.runStarts.length).toBeLessThanOrEqual(mostRuns);
  expect(merged.thinned).toBe(true);
  expect(merged.heldMicroseconds).toEqual([9e6, 9e6]);
});

test("damage in any part is damage of the whole", () => {
  const broken = ten({ structure: damaged("cut", origin) });
  expect(mergeFacts([ten(), broken]).structure).toMatchObject({ state: "damaged", why: "cut" });
  expect(mergeFacts([broken, ten()]).structure).toMatchObject({ state: "damaged", why: "cut" });
});

test("timing is the worst of the parts, and slips of later parts move", () => {
  const even: Timing = {
    kind: "constant",
    timescale: 25,
    medianTicks: 1,
    leastTicks: 1,
    mostTicks: 1,
    histogram: [{ ticks: 1, count: 249 }],
    slips: [],
    lostFrames: 0,
    offShare: 0,
  };
  const slip = { frame: 5, seconds: 0.2, ticks: 2, lost: 1 };
  const torn: Timing = { ...even, kind: "slips", mostTicks: 2, slips: [slip], lostFrames: 1, offShare: 0.004 };
  const merged = valueOf(mergeFacts([ten({ timing: read(even, origin) }), ten({ timing: read(torn, origin) })]).timing);
  expect(merged).toMatchObject({ kind: "slips", mostTicks: 2, lostFrames: 1, histogram: [{ ticks: 1, count: 498 }] });
  expect(merged?.slips).toEqual([{ ...slip, frame: 255, seconds: 10.2 }]);
});

const of = (first: string, last: string) => madeClip({ name: "a", firstClock: first, lastClock: last }).facts;

test("telemetry summaries run on to the end of the last part", () => {
  expect(valueOf(mergeFacts([of("12:00:00", "12:00:09"), of("12:00:10", "12:00:19")]).telemetry)).toMatchObject({
    firstClock: "12:00:00",
    lastClock: "12:00:19",
    records: 20,
    coverage: 1,
    endSeconds: 20,
  });
});

test("paths are shifted and stay within their bound", () => {
  const path = Array.from({ length: 400 }, (_, place) => ({
    latitudeDegrees: 1,
    longitudeDegrees: 2,
    atSeconds: place / 40,
  }));
  const merged = valueOf(mergeFacts([ten({ path: read(path, origin) }), ten({ path: read(path, origin) })]).path);
  expect(merged?.length).toBeLessThanOrEqual(512);
  expect(merged?.at(-1)?.atSeconds).toBeGreaterThan(19.5);
});
