import { rate, rateLabel, toNumber } from "@goodgate/model";
import { timecodeAt } from "../example-facts.ts";
import { amount, cannotTell, defineRule, type Found, limit } from "../rule.ts";
import { fitted } from "../words.ts";

export default defineRule({
  id: "timecode-rate",
  title: "Timecode counts as the file plays",
  cases: ["J12"],
  scope: "clip",
  needs: ["frameRate"],
  wants: ["timecode"],
  decides: false,
  explanation: `
Timecode counts whole labels a second: 24 for 23.976, 30 for 29.97. Drop-frame belongs to 29.97 and 59.94 alone; without
it a count at 29.97 falls behind the clock by 3.6 seconds an hour, which is worth knowing and no fault.
`,
  limits: [
    {
      name: "labels a second",
      default: "the rate, rounded",
      unit: "",
      origin: "standard",
      source: "SMPTE ST 12-1 as taught publicly",
    },
  ],
  remedyOnLocation: "Set the camera's timecode to the recording rate.",
  remedyInEdit: "Set the timecode rate by hand.",
  sources: ["SMPTE ST 12-1 as taught publicly; the text itself was not read"],

  check({ frameRate }, { wants }) {
    if (wants.timecode?.state === "damaged") {
      return cannotTell(
        fitted(`Timecode rate not judged: ${wants.timecode.why}`),
        ["timecode"],
        "a copy of the file whose timecode is whole",
      );
    }
    if (wants.timecode?.state !== "read") return undefined;
    const { dropFrame, labelsPerSecond, start } = wants.timecode.value;
    const plays = rateLabel(frameRate);
    const rounded = Math.round(toNumber(frameRate));
    const fraction = frameRate.denominator === 1001n;
    const counts = `${labelsPerSecond} labels a second${dropFrame ? ", drop-frame" : ""}`;
    const found: Found[] = [];
    const base = {
      measured: amount(labelsPerSecond, "labels/s", counts),
      remedy: "set the timecode rate by hand",
      onLocation: "set the camera's timecode to the recording rate",
      inEdit: "set the timecode rate by hand",
    };
    // Above 60 labels a second cameras count every second or fourth frame.
    const counted = rounded > 60 ? rounded % labelsPerSecond === 0 : rounded === labelsPerSecond;
    if (!counted) {
      found.push({
        ...base,
        grade: "workable",
        says: `Timecode counts ${counts} on a file of ${plays} fps (from ${start}): set its rate by hand.`,
        limit: limit(rounded, "labels/s", `${rounded} labels a second`, "standard"),
      });
    } else if (dropFrame && !(fraction && labelsPerSecond % 30 === 0)) {
      found.push({
        ...base,
        grade: "workable",
        says: `Drop-frame timecode on a file of ${plays} fps: ${counts}: set non-drop by hand, drop-frame belongs to 29.97 and 59.94.`,
        limit: limit("non-drop", "", "non-drop", "standard"),
      });
    } else if (!dropFrame && fraction && labelsPerSecond % 30 === 0) {
      found.push({
        ...base,
        grade: "note",
        says: `Non-drop timecode, ${counts} at ${plays} fps, falls 3.6 s an hour behind; drop-frame keeps the clock: mind it when syncing.`,
        limit: limit("drop-frame", "", "drop-frame keeps the clock", "standard"),
        remedy: "mind it when syncing by time",
        inEdit: "mind it when syncing by time",
      });
    }
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    {
      title: "30 labels on a 25 fps file",
      facts: { frameRate: rate(25), timecode: timecodeAt("10:00:00:00", 30) },
      expect: "workable",
    },
    {
      title: "drop-frame on a 30 fps file",
      facts: { frameRate: rate(30), timecode: timecodeAt("10:00:00;00", 30) },
      expect: "workable",
    },
    {
      title: "non-drop at 29.97",
      facts: { frameRate: rate(30000, 1001), timecode: timecodeAt("10:00:00:00", 30) },
      expect: "note",
    },
    {
      title: "drop-frame at 29.97",
      facts: { frameRate: rate(30000, 1001), timecode: timecodeAt("10:00:00;00", 30) },
      expect: "passed",
    },
    {
      title: "24 labels at 23.976",
      facts: { frameRate: rate(24000, 1001), timecode: timecodeAt("10:00:00:00", 24) },
      expect: "passed",
    },
    {
      title: "30 labels at 120 fps count every fourth frame",
      facts: { frameRate: rate(120), timecode: timecodeAt("10:00:00:00", 30) },
      expect: "passed",
    },
    {
      title: "a timecode that cannot be read",
      facts: { frameRate: rate(25) },
      damaged: { timecode: "25:61:00:00 is no time" },
      expect: "unknown",
    },
    { title: "no timecode", facts: { frameRate: rate(25) }, expect: "silent" },
    { title: "a clip whose frame rate was not read", facts: {}, expect: "unknown" },
  ],
});
