import { completeBrief, type FactValues, rate } from "@goodgate/model";
import { expect, test } from "vitest";
import { startedAt, steps, timecodeAt } from "./example-facts.ts";
import { cardFigures, median, mostCommon, placeClips } from "./figures.ts";
import { exampleClip } from "./run-example.ts";
import { clipRates } from "./uses.ts";

const placed = (name: string, facts: Partial<FactValues>) => {
  const clip = exampleClip({ name, facts });
  return { clip, facts: clip.facts, rates: clipRates(clip.facts) };
};
const at = (time: string, camera = "one") => ({ createdAt: startedAt(`2024-05-01T${time}Z`), cameraModel: camera });

test("starts within ten minutes are one scene, and cameras keep scenes of their own", () => {
  const clips = [
    placed("A", at("10:00:00")),
    placed("B", at("10:10:00")),
    placed("C", at("10:20:01")),
    placed("D", at("10:05:00", "two")),
    placed("E", { cameraModel: "one" }),
    placed("F", { cameraModel: "one", createdAt: startedAt("1970-01-01T00:00:00Z", "start of an epoch") }),
  ];
  const places = placeClips(clips);
  const scene = (name: string) => places.get(name)?.scene;
  expect(scene("A")).toBe(scene("B"));
  expect(scene("C")).not.toBe(scene("B"));
  expect(scene("D")).not.toBe(scene("A"));
  expect(scene("D")).not.toBe(scene("C"));
  expect([scene("E"), scene("F")]).toEqual([undefined, undefined]);
});

test("a clip without a clock does not break a scene in two", () => {
  const places = placeClips([
    placed("A", at("10:00:00")),
    placed("B", at("10:05:00")),
    placed("C", { cameraModel: "one" }),
  ]);
  expect(places.get("A")?.scene).toBe(places.get("B")?.scene);
});

test("the lowest ISO is kept for each camera, and zero is no ISO", () => {
  const clips = [
    placed("A", { iso: steps(200, 100) }),
    placed("B", { iso: steps(400), cameraModel: "two" }),
    placed("C", { iso: steps(0) }),
  ];
  const figures = cardFigures(clips, placeClips(clips), completeBrief({ timelineRate: rate(25) }));
  expect([...figures.lowestIso]).toEqual([
    ["", 100],
    ["two", 400],
  ]);
  expect(figures.cameras).toBe(2);
});

const figures = (...list: Partial<FactValues>[]) => {
  const clips = list.map((facts, place) => placed(String(place), facts));
  return cardFigures(clips, placeClips(clips), completeBrief({ timelineRate: rate(25) }));
};

test("timecode that starts at zero everywhere is told from timecode of its own", () => {
  const zero = { timecode: timecodeAt("00:00:00:00", 25) };
  const own = { timecode: timecodeAt("10:00:00:00", 25) };
  expect(figures(zero, zero).timecodeAllZero).toBe(true);
  expect(figures(zero, own).timecodeAllZero).toBe(false);
  expect(figures(zero).timecodeAllZero).toBe(false);
  expect(figures(own, {}).timecodeShare).toBe(0.5);
  expect(figures().timecodeShare).toBe(0);
});

test("middle and majority", () => {
  expect([median([3, 1, 2]), median([4, 1, 2, 3]), median([])]).toEqual([2, 2, 0]);
  expect([mostCommon([8, 8, 10]), mostCommon([8, 10]), mostCommon([8, undefined, undefined])]).toEqual([
    8,
    undefined,
    undefined,
  ]);
});
