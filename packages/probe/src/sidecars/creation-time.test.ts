import type { CreationTime } from "@goodgate/model";
import { expect, test } from "vitest";
import { doubtFuture, parseCreationTime, sameMoment } from "./creation-time.ts";

const at = (text: string): CreationTime => {
  const time = parseCreationTime(text);
  if (time === undefined) throw new Error(`${text} is no time`);
  return time;
};

test("an offset is applied, with and without its colon", () => {
  const utc = Date.UTC(2031, 3, 5, 6, 7, 8);
  expect(at("2031-04-05T08:07:08+02:00")).toEqual({
    text: "2031-04-05T08:07:08+02:00",
    zone: "offset",
    epochMilliseconds: utc,
  });
  expect(at("2031-04-05T08:07:08+0200").epochMilliseconds).toBe(utc);
  expect(at("2031-04-05T01:22:08.000-04:45").epochMilliseconds).toBe(utc);
  expect(at("2031-04-05T06:07:08Z")).toMatchObject({ zone: "utc", epochMilliseconds: utc });
});

test("without a zone the time is as if UTC, and the zone is unknown", () => {
  expect(at("2031:04:05 08:07:08")).toEqual({
    text: "2031-04-05T08:07:08",
    zone: "unknown",
    epochMilliseconds: Date.UTC(2031, 3, 5, 8, 7, 8),
  });
  expect(at("2031-04-05 08:07:08,123,456")).toMatchObject({
    text: "2031-04-05T08:07:08.123456",
    epochMilliseconds: Date.UTC(2031, 3, 5, 8, 7, 8, 123),
  });
  expect(at("2031-4-5 8:07:08.12").epochMilliseconds).toBe(Date.UTC(2031, 3, 5, 8, 7, 8, 120));
});

test("days that do not exist and other text are no times", () => {
  for (const text of [
    "",
    "0000:00:00 00:00:00",
    "2031-02-30T00:00:00",
    "2031-13-01",
    "2031-04-05T24:00:00",
    "soon",
    "20310405",
    "2031-04-05T08:07:08+25:00",
  ]) {
    expect([text, parseCreationTime(text)]).toEqual([text, undefined]);
  }
});

test("the first hour of an epoch is suspect, and so is a clock ahead of the file's last write", () => {
  expect(at("1980-01-01 00:00:30").suspect).toBe("start of an epoch");
  const time = at("2031-04-05T06:07:08Z");
  expect(doubtFuture(time, Date.UTC(2031, 3, 5, 6, 20)).suspect).toBeUndefined();
  expect(doubtFuture(time, Date.UTC(2031, 3, 3)).suspect).toBe("in the future");
  expect(doubtFuture(time, 0).suspect).toBeUndefined();
});

test("a zone's distance is no contradiction, half an hour and a minute is one", () => {
  const utc = at("2031-04-05T06:07:08Z");
  expect(sameMoment(utc, at("2031-04-05T08:07:10"))).toBe(true);
  expect(sameMoment(utc, at("2031-04-05T11:52:08"))).toBe(true);
  expect(sameMoment(utc, at("2031-04-05T08:38:08"))).toBe(false);
  expect(sameMoment(utc, at("2031-04-08T06:07:08"))).toBe(false);
  expect(sameMoment(at("2031-04-05T08:07:08+02:00"), at("2031-04-05T08:07:08+01:00"))).toBe(false);
});

test("a date followed by a long text is no date, and costs no time to refuse", () => {
  const began = process.cpuUsage();
  expect(parseCreationTime(`2031-05-14T08:00${" ".repeat(400_000)}x`)).toBeUndefined();
  // Without a bound on its length the form takes minutes: it may split the spaces in two anywhere.
  const { user, system } = process.cpuUsage(began);
  expect((user + system) / 1000).toBeLessThan(2000);
});
