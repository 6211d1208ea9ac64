import { type Origin, rate } from "@goodgate/model";
import { expect, test } from "vitest";
import { secondsTo1970 } from "./creation-time.ts";
import { captureRateOf, createdAtOf, keyText, locationOf } from "./published-keys.ts";

const at = (place: string): Origin => ({ kind: "container", file: "clip.mp4", place });
const item = (key: string, text: string, number?: number) => ({
  key,
  text,
  place: key,
  ...(number === undefined ? {} : { number }),
});
const capture = (number: number) => captureRateOf([item("com.android.capture.fps", String(number), number)], at);

test("a declared capture rate is taken as the standard rate it means", () => {
  expect(capture(120)).toMatchObject({ state: "read", value: rate(120) });
  expect(capture(Math.fround(119.88))).toMatchObject({ value: rate(120000, 1001) });
  expect(capture(0.5)).toMatchObject({ value: rate(1, 2) });
  expect(captureRateOf([item("x.capture.fps", "240")], at)).toMatchObject({ value: rate(240) });
});

test.each([0, -1, Number.NaN, Infinity, 2001])("a capture rate of %d is damage", (number) => {
  expect(capture(number).state).toBe("damaged");
});

test("no key, no capture rate", () => {
  expect(captureRateOf([item("other", "120", 120)], at).state).toBe("absent");
});

test("a date with its zone goes before the header; the header is a witness, in local time as well", () => {
  const stated = item("com.example.creationdate", "2031-04-05T08:07:08+0200");
  const utc = Date.UTC(2031, 3, 5, 6, 7, 8) / 1000 + secondsTo1970;
  const agrees = (seconds: number) => {
    const reading = createdAtOf([stated], seconds, at);
    return reading.state === "read" && reading.witnesses?.[0]?.agrees;
  };
  expect(createdAtOf([stated], utc, at)).toMatchObject({ value: { text: "2031-04-05T08:07:08+02:00" } });
  expect(agrees(utc)).toBe(true);
  expect(agrees(utc + 7200)).toBe(true);
  expect(agrees(utc + 600)).toBe(false);
  expect(agrees(utc + 86_400)).toBe(false);
});

test("a header a zone away from the key is told to be in local time; one that is right or plainly wrong is not", () => {
  const stated = item("com.example.creationdate", "2031-04-05T08:07:08+0200");
  const utc = Date.UTC(2031, 3, 5, 6, 7, 8) / 1000 + secondsTo1970;
  const doubt = (seconds: number, key = stated) => {
    const reading = createdAtOf([key], seconds, at);
    return reading.state === "read" ? reading.witnesses?.[0]?.value.suspect : "no reading";
  };
  expect(doubt(utc)).toBeUndefined();
  expect(doubt(utc + 3)).toBeUndefined();
  expect(doubt(utc + 7200)).toBe("local time in place of UTC, 2 h ahead of the key that states a zone");
  const west = item("com.example.creationdate", "2031-04-05T02:37:08-0330");
  expect(doubt(utc - 3.5 * 3600, west)).toBe("local time in place of UTC, 3.5 h behind the key that states a zone");
  expect(doubt(utc + 600)).toBeUndefined();
});

test("without a date the header's clock counts, and an unset one is absent with its reason", () => {
  expect(createdAtOf([], secondsTo1970 + 1_900_000_000, at)).toMatchObject({ state: "read", value: { zone: "utc" } });
  expect(createdAtOf([], 0, at)).toMatchObject({ state: "absent" });
  expect(createdAtOf([], 2 ** 60, at).state).toBe("damaged");
  expect(createdAtOf([item("©day", "2031")], 0, at).state).toBe("absent");
});

test("a place of 0, 0 is no fix; a text of another form is damage", () => {
  expect(locationOf([item("©xyz", "+00.0000+000.0000/")], at).state).toBe("absent");
  expect(locationOf([item("©xyz", "somewhere")], at).state).toBe("damaged");
  expect(locationOf([item("a.location.ISO6709", "+12.3456-045.6789/")], at)).toMatchObject({
    value: { latitudeDegrees: 12.3456, longitudeDegrees: -45.6789 },
  });
});

test("maker, model and serial number come from keys that end so", () => {
  expect(keyText([item("com.example.make", "A ")], "maker", "©mak", at)).toMatchObject({ value: "A" });
  expect(keyText([item("©mod", "B")], "model", "©mod", at)).toMatchObject({ value: "B" });
  expect(keyText([], "serial", "©ser", at).state).toBe("absent");
});
