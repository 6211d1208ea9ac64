import { rate, type Seconds, shutterAngle, shutterLabel, ratioText, toNumber } from "@goodgate/model";
import type { ClipReport, FindingReport } from "./schema.ts";

/** Findings of the golden report; invented, in the words the rules use. */
export const sampleFindings = {
  cadence: {
    rule: "cadence",
    case: "uneven-skip",
    grade: "workable",
    says: "29.97 fps on a 25 timeline skips unevenly 5 times a second in real time: set the speed to 83.42 %.",
    measured: { value: "30000/1001", unit: "frames/s", text: "29.97 fps" },
    limit: { value: "25/1", unit: "frames/s", text: "25 fps", origin: "brief" },
    remedy: "Set the speed to 83.42 % (1001/1200).",
    onLocation: "Set 25 fps.",
    inEdit: "Speed 83.42 % (1001/1200), frame blending off.",
    use: "real time",
  },
  shutter: (time: Seconds): FindingReport => {
    const angle = Math.round(toNumber(shutterAngle(rate(25), time)));
    return {
      rule: "shutter-angle",
      case: "too-short",
      grade: "reshoot",
      says: `${shutterLabel(time)} s at 25 fps is ${angle} degrees, 180 asked: motion will look chopped; set 1/50 s with ND.`,
      measured: { value: ratioText(time), unit: "s", text: `${shutterLabel(time)} s` },
      limit: { value: 180, unit: "degrees", text: "180 degrees", origin: "default" },
      remedy: "Set 1/50 s and ND64.",
      onLocation: "Set 1/50 s and ND64.",
      inEdit: "Add motion blur; edges may tear.",
      use: "real time",
      assumed: ["shutterAngleDegrees"],
    };
  },
  iso: (value: number): FindingReport => ({
    rule: "iso-ceiling",
    grade: "reshoot",
    says: `ISO ${value} is above the ceiling of ISO 800 for the whole clip: set ISO 800 or lower.`,
    measured: { value, unit: "ISO", text: `ISO ${value}` },
    limit: { value: 800, unit: "ISO", text: "ISO 800", origin: "brief" },
    remedy: "Set ISO 800 or lower.",
    onLocation: "Set ISO 800 or lower.",
    inEdit: "Noise reduction; fine detail goes with it.",
  }),
  missing: {
    rule: "missing-frames",
    grade: "workable",
    says: "4 frames are missing in 2 places, first at 12.4 s: cut around them.",
    measured: { value: 4, unit: "frames", text: "4 frames" },
    limit: { value: 0, unit: "frames", text: "0 frames", origin: "computed" },
    remedy: "Cut around 12.4 s and 60.08 s.",
    inEdit: "Cut around the places, or interpolate the missing frames.",
    atSeconds: [12.4, 60.08],
  },
  spanNote: {
    rule: "spanned-recording",
    grade: "note",
    says: "The camera split this recording into 2 files; they join without a gap.",
    measured: { value: 2, unit: "files", text: "2 files" },
    limit: { value: 1, unit: "files", text: "1 file", origin: "computed" },
    remedy: "Import both files as one clip.",
    inEdit: "Join the files before cutting.",
  },
  card: {
    rule: "same-settings",
    grade: "note",
    says: "2 clips of one scene differ by 3.0 stops in shutter time: expect a jump at the cut.",
    measured: { value: 3, unit: "stops", text: "3.0 stops" },
    limit: { value: 1, unit: "stops", text: "1 stop", origin: "house limit" },
    remedy: "Match the exposure before cutting them together.",
    inEdit: "Match the exposure before cutting them together.",
    clips: ["DCIM/100MEDIA/CLIP0004.MP4", "DCIM/100MEDIA/CLIP0005.MP4"],
  },
} as const satisfies Record<string, FindingReport | ((value: never) => FindingReport)>;

/** What could not be judged of the golden report's clip without records. */
export const sampleUnknown: ClipReport["unknown"] = [
  {
    rule: "shutter-angle",
    missing: ["shutterSeconds"],
    says: "The shutter was not judged: no record of settings in the file or beside it.",
    supply: "Switch on the camera's subtitle file, or give the shutter in the brief.",
    decides: true,
  },
  {
    rule: "iso-ceiling",
    missing: ["iso"],
    says: "ISO was not judged: no record of settings in the file or beside it.",
    supply: "Switch on the camera's subtitle file.",
    decides: true,
  },
];
