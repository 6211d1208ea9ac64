import { expect, test } from "vitest";
import { absent, damaged, type Origin, read, valueOf } from "./reading.ts";

const origin: Origin = { kind: "container", file: "DCIM/A.MP4", place: "moov.mvhd" };

test("only a reading that was read has a value", () => {
  expect(valueOf(read(25, origin))).toBe(25);
  expect(valueOf(read(0, origin))).toBe(0);
  expect(valueOf(absent("no such box"))).toBeUndefined();
  expect(valueOf(damaged("a timescale of zero", origin))).toBeUndefined();
  expect(valueOf(undefined)).toBeUndefined();
});

test("a reading says why there is none, and where it is broken", () => {
  expect(absent("no such box")).toEqual({ state: "absent", why: "no such box" });
  expect(damaged("a timescale of zero", origin)).toEqual({ state: "damaged", why: "a timescale of zero", origin });
  expect(read(25, origin)).toEqual({ state: "read", value: 25, origin });
});
