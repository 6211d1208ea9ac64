import { rate, toNumber } from "@goodgate/model";
import { amount, cannotTell, defineRule, type Found, limit } from "../rule.ts";
import { counted, secondsText } from "../words.ts";

const noteFrames = 30;

export default defineRule({
  id: "span-joints",
  title: "Joints of a split recording",
  cases: ["J4", "J5"],
  scope: "clip",
  needs: [],
  wants: ["frameRate"],
  decides: false,
  explanation: `
Cameras split long recordings into parts, often near 4 GiB. The parts are judged as one clip. Frames lost or doubled at a
joint are a note; a hole of more than a second means that a part is missing.
`,
  limits: [
    {
      name: "frames at a joint",
      default: noteFrames,
      unit: "frames",
      origin: "house limit",
      source: "common practice, no source",
    },
    { name: "missing part", default: 1, unit: "s", origin: "house limit", source: "common practice, no source" },
  ],
  remedyOnLocation: "Look for the missing part on the card and in the camera's internal memory.",
  remedyInEdit: "Join the parts before any retime; cut at the hole.",
  sources: ["FAT32 file limit of 4294967295 bytes", "common practice, no source"],

  check(_facts, { clip, wants }) {
    if (clip.joints.length === 0) return undefined;
    const plays = wants.frameRate?.state === "read" ? toNumber(wants.frameRate.value) : undefined;
    const found: Found[] = [];
    for (const { afterPart, gapFrames } of clip.joints) {
      if (gapFrames === undefined || gapFrames === 0) continue;
      const frames = Math.abs(gapFrames);
      const missing = gapFrames > 0 && (plays === undefined ? frames > noteFrames : frames / plays > 1);
      const long =
        plays === undefined ? counted(frames, "frame") : `${counted(frames, "frame")} (${secondsText(frames / plays)})`;
      found.push({
        case: missing ? "J5" : "J4",
        grade: missing ? "workable" : frames > noteFrames ? "workable" : "note",
        says: missing
          ? `Between parts ${afterPart + 1} and ${afterPart + 2} ${long} are missing: search the card and the internal memory, or cut there.`
          : `${long} ${gapFrames > 0 ? "lost" : "doubled"} between parts ${afterPart + 1} and ${afterPart + 2}; join the parts before any retime.`,
        measured: amount(gapFrames, "frames", long),
        limit: limit(0, "frames", "no frame", "house limit"),
        remedy: missing ? "look for the missing part" : "join the parts first",
        ...(missing ? { onLocation: "search the card and the camera's internal memory" } : {}),
        inEdit: missing ? "cut at the hole" : "join the parts before any retime",
      });
    }
    const open = clip.joints.find((joint) => joint.gapFrames === undefined);
    if (found.length === 0 && open !== undefined) {
      return cannotTell(
        `Whether frames are lost between parts ${open.afterPart + 1} and ${open.afterPart + 2} is not known: no timecode runs through.`,
        ["timecode"],
        "timecode that runs on from part to part",
      );
    }
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    {
      title: "two frames lost at a joint",
      facts: { frameRate: rate(25) },
      clip: { joints: [{ afterPart: 0, gapFrames: 2, evidence: ["timecode"] }] },
      expect: "note",
    },
    {
      title: "ten seconds missing",
      facts: { frameRate: rate(25) },
      clip: { joints: [{ afterPart: 0, gapFrames: 250, evidence: ["timecode"] }] },
      expect: "workable",
    },
    {
      title: "exactly one second lost",
      facts: { frameRate: rate(25) },
      clip: { joints: [{ afterPart: 0, gapFrames: 25, evidence: ["timecode"] }] },
      expect: "note",
    },
    {
      title: "a joint without a gap",
      facts: { frameRate: rate(25) },
      clip: { joints: [{ afterPart: 0, gapFrames: 0, evidence: ["timecode"] }] },
      expect: "passed",
    },
    {
      title: "a joint nobody counted",
      facts: { frameRate: rate(25) },
      clip: { joints: [{ afterPart: 0, evidence: ["clock"] }] },
      expect: "unknown",
    },
    { title: "one file", facts: { frameRate: rate(25) }, expect: "silent" },
  ],
});
