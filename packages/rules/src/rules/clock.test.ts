import { expect, test } from "vitest";
import { startedAt, telemetryOf } from "../example-facts.ts";
import { runExample } from "../run-example.ts";
import clock from "./clock.ts";

const against = (camera: string, satellite: string) =>
  runExample(clock, {
    title: "test",
    facts: {
      createdAt: startedAt(camera),
      telemetry: telemetryOf({ clockSource: "satellite", firstClock: satellite }),
    },
    others: [{ facts: { cameraModel: "another" } }],
    now: Date.parse("2024-06-01T00:00:00Z"),
    expect: "note",
  }).findings[0];

test("zones of three quarters of an hour are zones, not faults", () => {
  const found = against("2024-05-01T15:45:00Z", "2024-05-01 10:00:02");
  expect([found?.grade, found?.measured.text]).toEqual(["note", "+5.75 h"]);
  expect(against("2024-05-01T05:00:00Z", "2024-05-01 10:00:00")?.measured.text).toBe("−5 h");
});

test("ten minutes off is no zone, and needs work when two cameras are on the card", () => {
  const found = against("2024-05-01T10:10:00Z", "2024-05-01 10:00:00");
  expect([found?.grade, found?.measured.text]).toEqual(["workable", "600 s"]);
});

test("a day off is no zone", () => {
  expect(against("2024-05-02T10:00:00Z", "2024-05-01 10:00:00")?.grade).toBe("workable");
});
