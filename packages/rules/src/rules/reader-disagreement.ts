import { rate } from "@goodgate/model";
import { amount, cannotTell, defineRule, limit } from "../rule.ts";
import { factWords } from "../fact-words.ts";
import { fitted, shortened } from "../words.ts";

/** The verdict rests on these. */
const carrying: readonly string[] = ["frameRate", "frames", "durationSeconds", "width", "height"];

export default defineRule({
  id: "reader-disagreement",
  title: "Second reader",
  cases: ["A8"],
  scope: "clip",
  needs: [],
  wants: ["frameRate"],
  decides: false,
  explanation: `With a second reader switched on, every fact it reads differently is listed with both values; the value in use is goodgate's own.`,
  limits: [{ name: "disagreements", default: 0, unit: "", origin: "computed", source: "both readers" }],
  remedyOnLocation: "Nothing.",
  remedyInEdit: "Look at the clip in the editing program before relying on the value.",
  sources: ["honesty rule: a conflict is shown with both values"],

  check(_facts, { clip }) {
    if (clip.secondReaderSilent !== undefined) {
      return cannotTell(
        fitted(`Second reader not heard, ${clip.secondReaderSilent}: what was read stands alone`),
        ["secondReader"],
        "another program that reads this file",
        true,
      );
    }
    if (clip.disagreements === undefined) return undefined;
    if (clip.disagreements.length === 0) return "passed";
    return clip.disagreements.map(({ fact, ours, theirs, reader }) => ({
      grade: carrying.includes(fact) ? ("workable" as const) : ("note" as const),
      says: fitted(
        `The ${factWords(fact)} is ${shortened(ours, 36)} here and ${shortened(theirs, 36)} to ${shortened(reader, 24)}; look at the clip.`,
      ),
      measured: amount(ours, "", ours),
      limit: limit(theirs, "", `${theirs} (${reader})`, "computed"),
      remedy: "look at the clip",
      inEdit: "look at the clip in the editing program",
    }));
  },

  examples: [
    {
      title: "another frame rate",
      facts: { frameRate: rate(25) },
      clip: { disagreements: [{ fact: "frameRate", ours: "25", theirs: "24", reader: "ffprobe" }] },
      expect: "workable",
    },
    {
      title: "another profile name",
      facts: { frameRate: rate(25) },
      clip: { disagreements: [{ fact: "profile", ours: "Main", theirs: "Main 10", reader: "ffprobe" }] },
      expect: "note",
    },
    { title: "both agree", facts: { frameRate: rate(25) }, clip: { disagreements: [] }, expect: "passed" },
    {
      title: "the other reader hangs",
      facts: { frameRate: rate(25) },
      clip: { secondReaderSilent: "ffprobe 5.1: no answer within 20 s" },
      expect: "unknown",
    },
    { title: "nobody else was asked", facts: { frameRate: rate(25) }, expect: "silent" },
  ],
});
