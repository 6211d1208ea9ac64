import { expect, test } from "vitest";
import { sampleReport } from "../sample-report.ts";
import type { ClipReport } from "../schema.ts";
import { seenPicture } from "./seen-picture.ts";

const origin = { kind: "measured", file: "a.MP4", place: "6 of 8 s looked at" } as const;
const clip = sampleReport().clips[0] as ClipReport;
const seen: ClipReport = {
  ...clip,
  facts: {
    ...clip.facts,
    motion: {
      state: "read",
      origin,
      value: {
        ribbon: [
          { atSeconds: 0, widthsPerSecond: 0.2 },
          { atSeconds: 0.5, widthsPerSecond: 0.4 },
        ],
      },
    },
    measuredAngle: {
      state: "read",
      origin,
      value: {
        degrees: 172,
        low: 160,
        high: 185,
        pairs: 40,
        stretches: [{ fromSeconds: 0, toSeconds: 1, degrees: 170, pixelsPerFrame: 20 }],
      },
    },
    noise: {
      state: "read",
      origin,
      value: { sigmaPercent: 0.7, perLevel: [{ brightnessPercent: 30, sigmaPercent: 0.7 }] },
    },
  },
};

test("motion, angle and noise stand one below the other, and are said in words", () => {
  const picture = seenPicture(seen);
  expect(picture?.says).toContain("motion up to 0.4 picture widths a second; angle from blur 172° (160° to 185°)");
  expect(picture?.says).toMatch(/^noise 0.7 % of full scale; /);
  expect(picture?.marks.filter((mark) => mark.kind === "text" && mark.look === "small")).toHaveLength(3);
});

test("nothing is drawn when the pictures were not asked, or could tell nothing", () => {
  expect(seenPicture(clip)).toBeUndefined();
  expect(
    seenPicture({ ...clip, facts: { ...clip.facts, motion: { state: "absent", why: "cannot tell: too still" } } }),
  ).toBeUndefined();
});
