import { rate } from "@goodgate/model";
import { timecodeAt } from "../example-facts.ts";
import { amount, cannotTell, defineRule, limit } from "../rule.ts";

const expectedShare = 0.5;

export default defineRule({
  id: "timecode-absent",
  title: "Timecode",
  cases: ["J10"],
  scope: "clip",
  needs: [],
  wants: ["timecode", "frameRate"],
  decides: false,
  explanation: `Expected when the brief wants it, or when at least half of the clips on the card have it. Clips that all start at zero
are as good as without.`,
  limits: [
    {
      name: "expected from",
      default: expectedShare,
      unit: "share of clips with timecode",
      origin: "default",
      source: "common practice, no source",
    },
  ],
  remedyOnLocation: "Switch timecode on, running by the time of day.",
  remedyInEdit: "Sync by clock (about a second) or by picture.",
  sources: ["common practice, no source"],

  check(_facts, { wants, brief, figures }) {
    if (wants.frameRate?.state !== "read") return undefined;
    const has = wants.timecode?.state === "read";
    const expected = brief.timecodeWanted || figures.timecodeShare >= expectedShare;
    if (has && !figures.timecodeAllZero) return "passed";
    if (!expected) return undefined;
    if (wants.timecode?.state === "damaged") {
      return cannotTell(
        "Whether the clip has a timecode of its own is not known: the one it has is damaged.",
        ["timecode"],
        "a copy of the file whose timecode is whole",
        true,
      );
    }
    return {
      grade: brief.timecodeWanted ? "workable" : "note",
      says: has
        ? "Every timecode on this card starts at 00:00:00:00: sync by clock (about a second) or by picture."
        : "No timecode: sync by clock (about a second) or by picture.",
      measured: amount(has ? "00:00:00:00" : "none", "", has ? "00:00:00:00 in every clip" : "no timecode"),
      limit: limit("present", "", "a timecode of its own", brief.timecodeWanted ? "brief" : "default"),
      remedy: "sync by clock or picture",
      onLocation: "switch timecode on, running by the time of day",
      inEdit: "sync by clock (about a second) or by picture",
    };
  },

  examples: [
    {
      title: "none, and the brief wants it",
      facts: { frameRate: rate(25) },
      brief: { timecodeWanted: true },
      expect: "workable",
    },
    {
      title: "none while the other clip has one",
      facts: { frameRate: rate(25) },
      others: [{ facts: { timecode: timecodeAt("10:00:00:00", 25) } }],
      expect: "note",
    },
    { title: "none anywhere and nobody asks", facts: { frameRate: rate(25) }, expect: "silent" },
    {
      title: "one of its own",
      facts: { frameRate: rate(25), timecode: timecodeAt("10:00:00:00", 25) },
      brief: { timecodeWanted: true },
      expect: "passed",
    },
    {
      title: "a damaged one, and the brief wants it",
      facts: { frameRate: rate(25) },
      damaged: { timecode: "25:61:00:00 is no time" },
      brief: { timecodeWanted: true },
      expect: "unknown",
    },
    {
      title: "all clips from zero",
      facts: { frameRate: rate(25), timecode: timecodeAt("00:00:00:00", 25) },
      others: [{ facts: { timecode: timecodeAt("00:00:00:00", 25) } }],
      expect: "note",
    },
  ],
});
