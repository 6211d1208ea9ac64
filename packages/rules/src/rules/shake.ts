import { rate, toNumber, valueOf } from "@goodgate/model";
import { moving, seen } from "../example-facts.ts";
import { amount, cannotTell, defineRule, limit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { short } from "../words.ts";

/** Shaking above 8 Hz, root mean square, as a share of the picture's width. House limits. */
const notePercent = 0.15;
const workablePercent = 0.4;
/** Shaking above this is sought, and a file must hold twice as many frames a second to show it. */
const shakeHertz = 8;

export default defineRule({
  id: "shake",
  title: "Shaking picture",
  cases: ["M7"],
  scope: "clip",
  needs: [],
  wants: ["motion", "frameRate", "lookedAt"],
  asks: ["motion", "frameRate"],
  decides: false,
  // A repeated or lost frame makes the motion halt and jump.
  causedBy: ["repeated-pictures", "frame-timing"],
  explanation: `
How far the picture as a whole jumps from frame to frame, beside the even motion of the flight: vibration above 8 Hz, from
propellers, wind or a gimbal that hunts. Rolling wobble of the rows is not told apart from it. Asked with --measure only.
`,
  limits: [
    {
      name: "worth a note from",
      default: notePercent,
      unit: "% of the width",
      origin: "house limit",
      source: practice,
    },
    {
      name: "needs work from",
      default: workablePercent,
      unit: "% of the width",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Look at the propellers and the gimbal, and fly in calm air.",
  remedyInEdit: "Stabilise with a small crop; wobble of the rows resists.",
  sources: [practice],
  applies: picturesAsked,

  check(_facts, { wants }) {
    const motion = valueOf(wants.motion);
    const plays = valueOf(wants.frameRate);
    if (motion === undefined || plays === undefined) return undefined;
    if (toNumber(plays) < 2 * shakeHertz) {
      return cannotTell(
        "Shaking not judged: above 8 Hz it takes at least 16 frames a second to show.",
        ["motion"],
        "a clip at an ordinary rate",
        true,
      );
    }
    const percent = motion.vibrationPercent;
    if (percent < notePercent) return "passed";
    const work = percent >= workablePercent;
    const bound = work ? workablePercent : notePercent;
    const size = `${short(percent, 2)} % of the width`;
    const looked = lookedText(wants.lookedAt);
    return {
      grade: work ? "workable" : "note",
      says: `The picture shakes by ${size} (limit ${bound} %); stabilise it, and look at propellers and gimbal (${looked}).`,
      measured: amount(Number(percent.toFixed(3)), "% of the width", `${size}, ${looked}`),
      limit: limit(bound, "% of the width", `${bound} %`, "house limit"),
      remedy: "stabilise it",
      onLocation: "look at the propellers and the gimbal; fly in calm air",
      inEdit: `stabilise with a crop of about ${short(Math.max(1, 6 * percent), 0)} %; wobble of the rows resists`,
    };
  },

  examples: [
    { title: "half a percent", facts: seen({ frameRate: rate(25), motion: moving(0.1, 0.5) }), expect: "workable" },
    { title: "a fifth of a percent", facts: seen({ frameRate: rate(25), motion: moving(0.1, 0.2) }), expect: "note" },
    { title: "a tenth of a percent", facts: seen({ frameRate: rate(25), motion: moving(0.1, 0.1) }), expect: "passed" },
    {
      title: "twelve frames a second",
      facts: seen({ frameRate: rate(12), motion: moving(0.1, 0.5) }),
      expect: "unknown",
    },
    {
      title: "a picture without texture",
      facts: seen({ frameRate: rate(25) }),
      absent: { motion: "cannot tell: the picture does not move as one, or has no texture" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: { frameRate: rate(25) }, expect: "silent" },
  ],
});
