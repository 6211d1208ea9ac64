import { expect, test } from "vitest";
import { sharer } from "./shared-values.ts";

test("equal values of one kind are one object, those of another kind are not", () => {
  const once = sharer();
  const first = once("codec", { value: "hevc" });
  expect(once("codec", { value: "hevc" })).toBe(first);
  expect(once("profile", { value: "hevc" })).not.toBe(first);
  expect(once("codec", { value: "h264" })).toEqual({ value: "h264" });
});

test("a kind whose values all differ is left alone, and gives every value back as it is", () => {
  const once = sharer();
  for (let place = 0; place < 1000; place += 1) expect(once("bytes", { place })).toEqual({ place });
  const value = { place: 1 };
  expect(once("bytes", value)).toBe(value);
});
