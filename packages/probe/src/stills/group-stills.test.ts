import { absent, type CreationTime, type Origin, ratio, read, type Still } from "@goodgate/model";
import { expect, test } from "vitest";
import { groupStills } from "./group-stills.ts";

const origin: Origin = { kind: "still", file: "a", place: "test" };

/** A still number `number`, taken `at` seconds after noon, exposed `stops` over 1/100 s at ISO 100. */
function still(number: number, at: number | undefined, stops = 0): Still {
  const none = absent("not in this test");
  const taken: CreationTime = {
    text: "2031-04-05T12:00:00",
    zone: "unknown",
    epochMilliseconds: Date.UTC(2031, 3, 5, 12) + (at ?? 0) * 1000,
  };
  return {
    name: `DCIM/100AAAAA/ABCD${String(number).padStart(4, "0")}.JPG`,
    files: [],
    takenAt: at === undefined ? none : read(taken, origin),
    shutterSeconds: read(ratio(BigInt(Math.round(2 ** stops * 10_000)), 1_000_000n), origin),
    iso: read(100, origin),
    fNumber: read(2.8, origin),
    exposureBias: none,
    focalLength35mm: none,
    width: none,
    height: none,
    rotationDegrees: none,
    location: none,
    cost: { bytes: 0, calls: 0, milliseconds: 0 },
  };
}

test("three exposures a second apart are a bracket, and two such in a row are two brackets", () => {
  const shots = [0, -2, 2, 0, -2, 2].map((stops, place) => still(place + 1, place, stops));
  const { sets, stills } = groupStills(shots);
  expect(sets.map((set) => [set.id, set.kind, set.names.length])).toEqual([
    ["bracket 1", "bracket", 3],
    ["bracket 2", "bracket", 3],
  ]);
  expect(sets[0]?.exposureStops).toEqual([0, -2, 2]);
  expect(stills.map((one) => one.set)).toEqual([
    "bracket 1",
    "bracket 1",
    "bracket 1",
    "bracket 2",
    "bracket 2",
    "bracket 2",
  ]);
});

test("a bracket of five keeps its five frames", () => {
  const { sets } = groupStills([0, -1, 1, -2, 2].map((stops, place) => still(place, place * 0.5, stops)));
  expect(sets.map((set) => set.names.length)).toEqual([5]);
});

test("a last bracket cut short is a set of what there is", () => {
  const { sets } = groupStills([0, -2, 2, 0, -2, 2, 0, -2].map((stops, place) => still(place, place, stops)));
  expect(sets.map((set) => set.names.length)).toEqual([3, 3, 2]);
});

test("equal shots in quick order are a burst", () => {
  const { sets } = groupStills(Array.from({ length: 6 }, (_, place) => still(place, place * 0.2)));
  expect(sets.map((set) => [set.kind, set.names.length])).toEqual([["burst", 6]]);
});

test("even intervals are a timelapse; its interval is finer than the clock, and holes keep it whole", () => {
  const shots = Array.from({ length: 40 }, (_, place) =>
    still(place + 1, Math.floor(place * 5.5), place * 0.05),
  ).filter((_, place) => place !== 20);
  const [set] = groupStills(shots).sets;
  expect(set).toMatchObject({ kind: "timelapse", missingNumbers: [21] });
  expect(set?.names.length).toBe(39);
  expect(set?.intervalSeconds).toBeGreaterThan(5.4);
  expect(set?.intervalSeconds).toBeLessThan(5.6);
  expect(set?.exposureStops?.[38]).toBeCloseTo(39 * 0.05, 1);
});

test("a timelapse of two seconds is not taken for a burst or bracket", () => {
  const { sets } = groupStills(Array.from({ length: 30 }, (_, place) => still(place, place * 2, Math.sin(place / 9))));
  expect(sets.map((set) => [set.kind, set.names.length])).toEqual([["timelapse", 30]]);
});

test("single shots at uneven times belong to nothing, and neither do shots without a time", () => {
  const shots = [0, 40, 47, 300, 1000].map((at, place) => still(place, at));
  expect(groupStills(shots).sets).toEqual([]);
  expect(groupStills([still(1, undefined), still(2, undefined), still(3, undefined)]).sets).toEqual([]);
  expect(groupStills([])).toEqual({ stills: [], sets: [] });
});

test("the order handed in does not matter", () => {
  const shots = [0, -2, 2].map((stops, place) => still(place + 1, place, stops));
  expect(groupStills(shots.toReversed()).sets).toEqual(groupStills(shots).sets);
});

test("numbered pictures without times are a sequence, and a missing number is named", () => {
  const numbers = Array.from({ length: 20 }, (_, place) => place + (place < 7 ? 1 : 2));
  const { sets, stills } = groupStills(numbers.map((number) => still(number, undefined)));
  expect(sets).toMatchObject([{ id: "sequence 1", kind: "sequence", missingNumbers: [8] }]);
  expect(sets[0]).not.toHaveProperty("intervalSeconds");
  expect(stills.every((one) => one.set === "sequence 1")).toBe(true);
});

test("a few pictures, a far jump of the count, another raster or a stated time make no sequence", () => {
  const of = (numbers: readonly number[], width = 100): Still[] =>
    numbers.map((number) => ({ ...still(number, undefined), width: read(width, origin) }));
  const count = (from: number, length: number): number[] => Array.from({ length }, (_, place) => from + place);
  expect(groupStills(of(count(1, 11))).sets).toEqual([]);
  expect(groupStills([...of(count(1, 8)), ...of(count(400, 8))]).sets).toEqual([]);
  expect(groupStills([...of(count(1, 8)), ...of(count(9, 8), 200)]).sets).toEqual([]);
  expect(groupStills([...of(count(1, 30)), ...of(count(400, 30))]).sets.map((set) => set.names.length)).toEqual([
    30, 30,
  ]);
});
