import { rate } from "@goodgate/model";
import { expect, test } from "vitest";
import { timecodeAt } from "../example-facts.ts";
import { runExample } from "../run-example.ts";
import overlap from "./timecode-overlap.ts";

const clip = (start: string, frames: number, change = {}) => ({
  facts: { frameRate: rate(25), frames, timecode: timecodeAt(start, 25), ...change },
});

test("a long clip is compared with every one it covers", () => {
  const { findings } = runExample(overlap, {
    title: "test",
    ...clip("10:00:00:00", 250),
    others: [clip("10:00:01:00", 25), clip("10:00:05:00", 25)],
    expect: "workable",
  });
  expect(findings.map((finding) => finding.measured.value)).toEqual([25, 25]);
});

test("cameras, days and clips from zero do not meet", () => {
  const zero = { title: "test", ...clip("00:00:00:00", 250), others: [clip("00:00:00:00", 250)] };
  expect(runExample(overlap, { ...zero, expect: "silent" }).findings).toEqual([]);
  const two = {
    title: "test",
    ...clip("10:00:00:00", 250),
    others: [clip("10:00:00:00", 250, { cameraModel: "another" })],
  };
  expect(runExample(overlap, { ...two, expect: "passed" }).findings).toEqual([]);
});
