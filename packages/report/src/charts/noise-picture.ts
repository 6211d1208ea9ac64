import type { ClipReport, Report } from "../schema.ts";
import { axis, plotLeft, plotRight, valueAxis } from "./axes.ts";
import { type Picture, pictureWidth, rect, strokes, text } from "./picture.ts";
import { records } from "./seen-values.ts";
import { factParts, numberFrom, readFact, short } from "./values.ts";

const top = 20;
const bottom = 96;
/** Brightness marked at the foot, in % of the signal range. */
const marked = [0, 25, 50, 75, 100];

/** Noise of the pictures by brightness, beside the ISO that was recorded and the limit that was asked. */
export function noisePicture(clip: ClipReport, brief: Report["brief"]): Picture | undefined {
  const noise = factParts(clip, "noise");
  const levels = records(noise?.["perLevel"], "brightnessPercent", "sigmaPercent");
  if (noise === undefined || levels.length === 0) return undefined;
  const limit = clip.findings.find((finding) => finding.rule === "noise-measured")?.limit;
  const bound = numberFrom(limit?.value) ?? numberFrom(brief.items["noiseLimitPercent"]);
  const most = Math.max(0.1, bound ?? 0, ...levels.map((each) => each.sigmaPercent));
  const y = axis(0, most, bottom, top);
  const x = axis(0, 100, plotLeft, plotRight);
  const iso = readFact(clip, "iso")?.text;
  const middle = numberFrom(noise["sigmaPercent"]) ?? 0;
  const decibels = numberFrom(noise["signalToNoiseDecibels"]);
  return {
    id: "noise",
    title: "Noise in the picture",
    says: `${short(middle, 2)} % of the signal range${decibels === undefined ? "" : `, ${short(decibels, 0)} dB at middle grey`}; ${iso === undefined ? "no ISO recorded" : `recorded ${iso}`}.`,
    width: pictureWidth,
    height: bottom + 38,
    marks: [
      text("small", plotLeft, 11, "Noise %, each column one brightness"),
      ...valueAxis(y, y.ticks(3), 2),
      ...levels.map((each) =>
        rect("bar", x.at(each.brightnessPercent) - 4, y.at(each.sigmaPercent), 8, bottom - y.at(each.sigmaPercent)),
      ),
      strokes("axis", [[plotLeft, bottom, plotRight, bottom]]),
      ...marked.map((percent) =>
        text(
          percent === 0 ? "num" : percent === 100 ? "num end" : "num mid",
          x.at(percent),
          bottom + 15,
          percent === 0 ? "black" : percent === 100 ? "white" : `${percent} %`,
        ),
      ),
      text("small mid", (plotLeft + plotRight) / 2, bottom + 31, "brightness"),
      ...(bound === undefined
        ? []
        : [
            strokes("bound", [[plotLeft, y.at(bound), plotRight, y.at(bound)]]),
            text("small end", plotRight - 3, y.at(bound) + 13, `limit ${short(bound, 2)} %`),
          ]),
    ],
  };
}
