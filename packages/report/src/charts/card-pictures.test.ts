import { expect, test } from "vitest";
import { emptyReport, sampleReport } from "../sample-report.ts";
import type { ClipReport, Report } from "../schema.ts";
import { dayPicture, startOf } from "./day-picture.ts";
import { mapPicture } from "./map-picture.ts";
import type { Picture } from "./picture.ts";
import { captureLabel, ratesPicture } from "./rates-picture.ts";

const report = sampleReport();
const texts = (picture: Picture | undefined): readonly string[] =>
  (picture?.marks ?? []).flatMap((mark) => (mark.kind === "text" ? [mark.text] : []));
const placed = (latitude: number, longitude: number): ClipReport["facts"] => ({
  location: {
    state: "read",
    value: { latitudeDegrees: latitude, longitudeDegrees: longitude },
    origin: { kind: "container", file: "a", place: "b" },
  },
});
const flown = (places: readonly (readonly [number, number])[]): Report => ({
  ...report,
  clips: places.map(([latitude, longitude]) => ({
    ...(report.clips[0] as ClipReport),
    facts: placed(latitude, longitude),
  })),
});

test("the day shows light, settings and angle of every clip with a clock, and counts the others", () => {
  const picture = dayPicture(report);
  expect(picture?.says).toMatch(
    /^7 clips by start time as recorded: light EV [\d.]+ to [\d.]+, ISO 100 to 1600, shutter angle 9° to 180°\.$/,
  );
  const clips = report.clips.map((clip, place) =>
    place === 0 ? { ...clip, facts: { ...clip.facts, createdAt: { state: "absent" as const } } } : clip,
  );
  expect(dayPicture({ ...report, clips })?.says).toMatch(/ 1 without a usable clock is not drawn\.$/);
  const fewer = clips.map((clip, place) =>
    place === 1 ? { ...clip, facts: { ...clip.facts, createdAt: { state: "absent" as const } } } : clip,
  );
  expect(dayPicture({ ...report, clips: fewer })?.says).toMatch(/ 2 without a usable clock are not drawn\.$/);
  expect(dayPicture(emptyReport())).toBeUndefined();
});

test("a clip judged by its motion blur stands at that angle, not at the recorded one", () => {
  const angled = (place: number, degrees: number): ClipReport => {
    const clip = report.clips[place] as ClipReport;
    const use = { ...(clip.uses[0] as ClipReport["uses"][number]), use: "real time", angleDegrees: degrees };
    return {
      ...clip,
      plan: { ...clip.plan, use: "real time" },
      uses: [{ ...use, angleOrigin: "measured" }],
    } as ClipReport;
  };
  const picture = dayPicture({ ...report, clips: [angled(0, 44), angled(1, 350)] });
  expect(picture?.says).toContain("shutter angle 44° to 350° (2 from motion blur)");
  const other = dayPicture({ ...report, clips: [angled(0, 180), angled(1, 350)] });
  expect(other?.marks).not.toEqual(picture?.marks);
});

const at = (value: string, text = value) =>
  startOf({ facts: { createdAt: { state: "read", value, text } } })?.milliseconds;

test("a start is the clip's own wall clock; one that cannot be believed is none", () => {
  expect(at("2031-05-04T10:12:30+02:00")).toBe(Date.UTC(2031, 4, 4, 10, 12, 30));
  expect(at("1904-01-01T00:00:00Z", "1904-01-01T00:00:00Z, not to be believed: start of an epoch")).toBeUndefined();
  expect(at("yesterday")).toBeUndefined();
});

test("clips are counted by capture rate and use", () => {
  const picture = ratesPicture(report);
  expect(picture?.says).toBe("On 25 fps: 5 real time, 2 slow.");
  expect(texts(picture)).toEqual(expect.arrayContaining(["25", "29.97", "50"]));
  expect(captureLabel({ facts: {} })).toBe("not read");
  expect(ratesPicture(emptyReport())).toBeUndefined();
});

test("a sketch needs two places, and none is drawn when positions were left out", () => {
  expect(mapPicture(flown([[10, 20]]))).toBeUndefined();
  expect(
    mapPicture(
      flown([
        [10, 20],
        [10.001, 20],
      ]),
    )?.says,
  ).toContain("within 111 m");
  const without = flown([
    [10, 20],
    [10.001, 20],
  ]);
  expect(mapPicture({ ...without, audit: { ...without.audit, positions: false } })).toBeUndefined();
  // 0, 0 and impossible degrees are no places.
  expect(
    mapPicture(
      flown([
        [0, 0],
        [95, 20],
        [10, 200],
      ]),
    ),
  ).toBeUndefined();
});

test("a card flown across the date line stays together", () => {
  // 0.002 degrees of longitude on the equator are 222 m; mean earth radius.
  expect(
    mapPicture(
      flown([
        [0.0001, 179.999],
        [0.0001, -179.999],
      ]),
    )?.says,
  ).toContain("within 222 m");
});
