import { expect, test } from "vitest";
import { inShootingOrder, recordedAt } from "./recorded-at.ts";
import type { ClipReport } from "./schema.ts";

const clip = (name: string, value?: string, text = value): Pick<ClipReport, "name" | "facts"> => ({
  name,
  facts: {
    createdAt:
      value === undefined ? { state: "absent", why: "no clock" } : { state: "read", value, ...(text ? { text } : {}) },
  },
});

test("a time without a zone does not depend on where the report is read", () => {
  expect(recordedAt(clip("a", "2031-05-04T10:00:00"))).toBe(Date.UTC(2031, 4, 4, 10));
  expect(recordedAt(clip("a", "2031-05-04T10:00:00Z"))).toBe(Date.UTC(2031, 4, 4, 10));
  expect(recordedAt(clip("a", "2031-05-04T12:00:00+0200"))).toBe(Date.UTC(2031, 4, 4, 10));
});

test("a clock that was never set gives no time", () => {
  expect(recordedAt(clip("a", "1970-01-01T00:00:12Z"))).toBeUndefined();
  expect(
    recordedAt(clip("a", "2131-05-04T10:00:00Z", "2131-05-04, not to be believed: in the future")),
  ).toBeUndefined();
  expect(recordedAt(clip("a", "yesterday"))).toBeUndefined();
  expect(recordedAt(clip("a"))).toBeUndefined();
});

test("clips stand in the order they were shot, those without a time behind, names decide ties", () => {
  const order = inShootingOrder([
    clip("d"),
    clip("b", "2031-05-04T11:00:00Z"),
    clip("c", "2031-05-04T10:00:00Z"),
    clip("a", "2031-05-04T11:00:00Z"),
  ]);
  expect([...order].map((each) => each.name)).toEqual(["c", "a", "b", "d"]);
});
