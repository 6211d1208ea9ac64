import { expect, test } from "vitest";
import { clockMilliseconds } from "./clock-text.ts";

const ten = Date.UTC(2024, 4, 1, 10, 0, 1);

test.each([
  ["2024-05-01 10:00:01", ten],
  ["2024-05-01T10:00:01Z", ten],
  ["2024.05.01 10:00:01", ten],
  ["2024/5/1 10:00:01", ten],
  ["2024:05:01 10:00:01.250", ten + 250],
  ["2024-05-01 10:00:01,5", ten + 500],
  ["2024-05-01T12:00:01+02:00", ten],
  ["2024-05-01T07:30:01-0230", ten],
])("%s is read as UTC where no zone is given", (text, expected) => {
  expect(clockMilliseconds(text)).toBe(expected);
});

test.each(["", "yesterday", "2024-13-01 10:00:00", "2024-05-32 10:00:00", "2024-05-01", "2024-05-01 25:00:00"])(
  "%s is no clock",
  (text) => {
    expect(clockMilliseconds(text)).toBeUndefined();
  },
);
