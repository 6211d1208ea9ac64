import { expect, test } from "vitest";
import { headerClock, parseCreationDate, secondsTo1970 } from "./creation-time.ts";

const at = (text: string): number => Date.parse(text) / 1000 + secondsTo1970;

test("the header counts seconds from 1904 in UTC (ISO/IEC 14496-12, section 8.2.2)", () => {
  expect(headerClock(at("2031-04-05T06:07:08Z"))).toEqual({
    text: "2031-04-05T06:07:08Z",
    zone: "utc",
    epochMilliseconds: Date.UTC(2031, 3, 5, 6, 7, 8),
  });
});

test("zero and the start of 1970 mean that no clock was set", () => {
  expect(headerClock(0)).toHaveProperty("unset");
  expect(headerClock(secondsTo1970)).toHaveProperty("unset");
});

test("a count from 1970 in place of one from 1904 is read as such and never believed", () => {
  expect(headerClock(1_933_049_228)).toEqual({
    text: "2031-04-04T06:07:08Z",
    zone: "utc",
    epochMilliseconds: 1_933_049_228_000,
    suspect: "epoch of another system",
  });
});

test("the first hour of a clock's own first year is a reset clock; the same hour of another day is not", () => {
  expect(headerClock(at("2016-01-01T00:03:00Z"))).toMatchObject({ suspect: "start of an epoch" });
  expect(headerClock(at("1980-01-01T00:00:00Z"))).toMatchObject({ suspect: "start of an epoch" });
  expect(headerClock(at("2016-01-01T09:03:00Z"))).not.toHaveProperty("suspect");
  expect(headerClock(at("1995-06-01T09:03:00Z"))).toHaveProperty("suspect");
});

test("a clock past 2099, and one past all numbers, is wrong", () => {
  expect(headerClock(0xffffffff + 2 ** 32)).toHaveProperty("wrong");
  expect(headerClock(2 ** 64)).toHaveProperty("wrong");
});

test.each([
  ["2031-04-05T08:07:08+02:00", "2031-04-05T08:07:08+02:00", "offset", "2031-04-05T06:07:08Z"],
  ["2031-04-05T08:07:08+0200", "2031-04-05T08:07:08+02:00", "offset", "2031-04-05T06:07:08Z"],
  ["2031-04-05T08:07:08-0930", "2031-04-05T08:07:08-09:30", "offset", "2031-04-05T17:37:08Z"],
  ["2031-04-05T06:07:08Z", "2031-04-05T06:07:08Z", "utc", "2031-04-05T06:07:08Z"],
  ["2031-04-05 06:07:08", "2031-04-05T06:07:08", "unknown", "2031-04-05T06:07:08Z"],
  ["2031-04-05T06:07:08.250Z", "2031-04-05T06:07:08.250Z", "utc", "2031-04-05T06:07:08.250Z"],
])("%s is read with its zone", (text, shown, zone, utc) => {
  expect(parseCreationDate(text)).toEqual({ text: shown, zone, epochMilliseconds: Date.parse(utc) });
});

test.each(["2031", "2031-02-30T00:00:00Z", "2031-04-05T25:00:00Z", "2031-04-05T06:07:08+99:00", "yesterday", ""])(
  "%s is no date",
  (text) => {
    expect(parseCreationDate(text)).toBeUndefined();
  },
);
