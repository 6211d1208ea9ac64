import { type Clip, damaged, type Facts, type Origin, rate, read } from "@goodgate/model";
import { expect, test } from "vitest";
import { exampleClip, runExample } from "../run-example.ts";
import damagedFacts from "./damaged-facts.ts";

const container: Origin = { kind: "container", file: "100/A0001.MP4", place: "moov/mvhd" };
const sidecar: Origin = { kind: "sidecar", file: "100/A0001M01.XML", place: "file" };
const started = { text: "2024-05-01T10:00:00Z", zone: "utc", epochMilliseconds: 1_714_557_600_000 } as const;

const says = (facts: Facts): readonly string[] => {
  const clip: Partial<Clip> = { facts: { ...exampleClip({}).facts, ...facts } };
  return runExample(damagedFacts, { title: "test", clip, expect: "note" }).findings.map((finding) => finding.says);
};

test("a broken sidecar is named once behind the container that gave the fact", () => {
  const why = "the sidecar is broken: empty";
  const behind = { broken: [damaged(why, sidecar)] };
  expect(
    says({
      createdAt: { ...read(started, container), ...behind },
      captureRate: { ...read(rate(100), container), ...behind },
    }),
  ).toEqual([`The capture rate in A0001M01.XML is damaged: ${why}; do not trust this field in other programs.`]);
});

test("two faults of one file are two notes, and a sound clip has none", () => {
  const broken = (why: string) => ({ broken: [damaged(why, sidecar)] });
  expect(
    says({
      createdAt: { ...read(started, container), ...broken('"yesterday" is no date') },
      captureRate: { ...read(rate(100), container), ...broken('"abc" is no frame rate') },
    }),
  ).toHaveLength(2);
  expect(says({ createdAt: read(started, container) })).toEqual([]);
});
