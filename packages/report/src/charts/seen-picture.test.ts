import { expect, test } from "vitest";
import { samplePictures, seenReport, withPictures } from "../sample-pictures.ts";
import { sampleReport } from "../sample-report.ts";
import type { ClipReport } from "../schema.ts";
import { noisePicture } from "./noise-picture.ts";
import type { Picture } from "./picture.ts";
import { seenPicture } from "./seen-picture.ts";
import { shutterPicture } from "./shutter-picture.ts";

const { brief } = sampleReport();
const clip = sampleReport().clips[0] as ClipReport;
const seen = seenReport().clips[0] as ClipReport;
const texts = (picture: Picture | undefined): readonly string[] =>
  (picture?.marks ?? []).flatMap((mark) => (mark.kind === "text" ? [mark.text] : []));
const boxes = (picture: Picture | undefined, look: string) =>
  (picture?.marks ?? []).flatMap((mark) => (mark.kind === "rect" && mark.look === look ? [mark.box] : []));

test("angle, motion, brightness, drift and horizon stand one below the other, and are said in words", () => {
  const picture = seenPicture(seen);
  expect(picture?.says).toBe(
    "Angle from blur 172° (160° to 185°), recorded 180°; motion up to 0.4 picture widths a second; " +
      "mean brightness 42 to 54 %, up to 6 % clipped; exposure drifts by 0.4 stops; horizon 1.6° off level; 9 of 13 s looked at.",
  );
  expect(texts(picture).filter((text) => /^(Angle|Motion|Line|Drift|Horizon)/.test(text))).toHaveLength(5);
});

test.each([
  [11, 14],
  [43, 50],
  [172, 188],
  [300, 340],
])("the usual angle is marked beside blur of %d to %d degrees", (low, high) => {
  const degrees = (low + high) / 2;
  const stretches = samplePictures.measuredAngle.stretches.map((each) => ({ ...each, degrees }));
  const picture = seenPicture(
    withPictures(seen, { measuredAngle: { ...samplePictures.measuredAngle, degrees, low, high, stretches } }),
  );
  expect(texts(picture)).toContain("180");
});

test("what was not looked at is hatched in every ribbon, and no line runs through it", () => {
  const picture = seenPicture(seen);
  const hatched = boxes(picture, "unseen");
  // Two holes in each of five ribbons.
  expect(hatched).toHaveLength(10);
  expect(picture?.hint).toBe("Hatched: not looked at.");
  const lines = picture?.marks.flatMap((mark) => (mark.kind === "path" && mark.look === "data" ? [mark.d] : [])) ?? [];
  // The recorded angle is known throughout; what is from pictures is broken twice.
  expect(lines).toHaveLength(1 + 4 * 3);
  const [left = 0, , width = 0] = hatched[0] ?? [];
  for (const line of lines.slice(1)) {
    const across = [...line.matchAll(/[MH]([\d.]+)/g)].map((found) => Number(found[1]));
    expect(
      across.every((x) => x <= left + 0.1 || x >= left + width - 0.1),
      line,
    ).toBe(true);
    expect(Math.min(...across) >= left + width - 0.1 || Math.max(...across) <= left + 0.1, line).toBe(true);
  }
  const whole = { seconds: 12.48, ofSeconds: 12.48, stretches: [{ fromSeconds: 0, toSeconds: 12.48 }] };
  expect(boxes(seenPicture(withPictures(seen, { lookedAt: whole })), "unseen")).toEqual([]);
});

test("an exposure that hardly moves is said, not drawn", () => {
  const steady = samplePictures.exposureDrift.ribbon.map(({ atSeconds }) => ({ atSeconds, stops: 0.02 }));
  const picture = seenPicture(
    withPictures(seen, { exposureDrift: { ...samplePictures.exposureDrift, ribbon: steady } }),
  );
  expect(picture?.says).toContain("exposure steady");
  expect(texts(picture)).not.toContain("Drift of exposure, stops");
});

test("noise stands by brightness, beside the ISO recorded and the limit asked", () => {
  const picture = noisePicture(seen, { ...brief, items: { ...brief.items, noiseLimitPercent: 0.9 } });
  expect(picture?.says).toBe("0.7 % of the signal range, 37 dB at middle grey; recorded ISO 100.");
  expect(boxes(picture, "bar")).toHaveLength(4);
  expect(texts(picture)).toContain("limit 0.9 %");
  expect(texts(noisePicture(seen, brief)).some((text) => text.startsWith("limit"))).toBe(false);
});

test("a record that the blur contradicts is drawn with the angle of the blur beside it", () => {
  const uses = seen.uses.map((use) => ({ ...use, angleDegrees: 43.2, angleOrigin: "measured" as const }));
  const picture = shutterPicture({ ...seen, uses }, brief);
  expect(picture?.says).toMatch(/^Recorded 180° throughout \(1\/50 s\), but blur says 43° /);
  expect(texts(picture)).toContain("from blur");
  expect(texts(shutterPicture(seen, brief))).not.toContain("from blur");
});

test("nothing is drawn when the pictures were not asked, or could tell nothing, or a report holds anything else", () => {
  expect(seenPicture(clip)).toBeUndefined();
  expect(noisePicture(clip, brief)).toBeUndefined();
  const absent = { state: "absent" as const, why: "cannot tell: too still" };
  expect(seenPicture({ ...clip, facts: { ...clip.facts, motion: absent } })).toBeUndefined();
  for (const value of [
    { ribbon: "x" },
    { ribbon: [null, 1, { atSeconds: "0" }] },
    { ribbon: [{ atSeconds: 1e9, widthsPerSecond: 1 }] },
  ]) {
    expect(
      seenPicture({ ...clip, facts: { ...clip.facts, motion: { state: "read", value } as never } }),
    ).toBeUndefined();
  }
});
