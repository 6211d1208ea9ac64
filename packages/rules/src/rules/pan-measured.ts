import { rate, rateLabel, toNumber, valueOf } from "@goodgate/model";
import { moving, seen } from "../example-facts.ts";
import { lastingMotion } from "../picture-motion.ts";
import { amount, cannotTell, defineRule, limit } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { secondsText, shareText, short } from "../words.ts";

/** One picture width in seven seconds at 24 frames a second. */
const widthSeconds = 7;
const referenceRate = 24;

export default defineRule({
  id: "pan-measured",
  title: "Speed of the picture",
  cases: ["C7"],
  scope: "use",
  needs: [],
  wants: ["motion", "lookedAt"],
  asks: ["motion"],
  decides: false,
  causedBy: ["capture-rate-unproven"],
  hangsOn: ["timelineRate", "treatment"],
  explanation: `
How fast the picture as a whole crosses the frame, measured in the pictures, whatever moves it: a turn, low flight, a
tilt. Against the rule of thumb of one picture width in seven seconds at 24 frames a second, more on faster timelines in
proportion, when it lasts a second; twice as fast needs work. Slowed, the motion slows with it: where real time is too
fast and slow motion is not, the subject wants slow. It stands in place of pan-speed, which reckons from the recorded
heading. Asked with --measure only.
`,
  limits: [
    {
      name: "one picture width in",
      default: widthSeconds,
      unit: "s at 24 fps",
      origin: "house limit",
      source: "camera makers' teaching pages on panning",
    },
  ],
  remedyOnLocation: "Turn or fly more slowly.",
  remedyInEdit: "Slow it if it was captured fast enough, or use it as a whip pan.",
  sources: [
    "one picture width in seven seconds: camera makers' teaching pages",
    "scaling with the timeline rate: common practice, no source",
  ],
  applies: (about) => picturesAsked(about) && !about.use.rates.timelapse,

  check(_facts, { wants, use, uses }) {
    const motion = valueOf(wants.motion);
    if (motion === undefined) return undefined;
    const fastest = lastingMotion(motion);
    if (fastest === undefined) {
      return cannotTell(
        "Speed of the picture not judged: no second of even motion was looked at.",
        ["motion"],
        "--measure=all",
        true,
      );
    }
    const looked = lookedText(wants.lookedAt);
    const most = toNumber(use.timeline) / referenceRate / widthSeconds;
    const speed = fastest.widthsPerSecond * toNumber(use.fileSpeed);
    if (speed <= most) return "passed";
    const slow = uses.find((other) => other.use === "slow" && other !== use);
    const slowed = slow === undefined ? undefined : fastest.widthsPerSecond * toNumber(slow.fileSpeed);
    const factor = speed / most;
    const wantsSlow = slow !== undefined && slowed !== undefined && slowed <= most;
    const remedy = wantsSlow
      ? `slow it to ${shareText(toNumber(slow.sceneSpeed))}`
      : `move ${short(factor)} times slower`;
    const [found, guide] = [secondsText(1 / speed), secondsText(1 / most)];
    const where = use.use === "slow" ? "slowed" : `on ${rateLabel(use.timeline)}`;
    return {
      grade: factor > 2 ? "workable" : "note",
      says: `The picture crosses the frame in ${found} (guide ${guide} ${where}) at ${secondsText(fastest.atSeconds)}; ${remedy} (${looked}).`,
      measured: amount(Number((1 / speed).toFixed(2)), "s per picture width", `${found} a picture width, ${looked}`),
      limit: limit(Number((1 / most).toFixed(2)), "s per picture width", guide, "house limit"),
      remedy,
      onLocation: `turn or fly ${short(factor)} times slower`,
      inEdit: wantsSlow ? remedy : "slow it if the rate allows, or use it as a whip pan",
      atSeconds: [fastest.atSeconds],
    };
  },

  examples: [
    {
      title: "a third of the width a second on 24",
      facts: seen({ frameRate: rate(24), motion: moving(0.33) }),
      brief: { timelineRate: rate(24) },
      expect: "workable",
    },
    {
      title: "a picture width in six seconds on 24",
      facts: seen({ frameRate: rate(24), motion: moving(1 / 6) }),
      brief: { timelineRate: rate(24) },
      expect: "note",
    },
    {
      title: "a picture width in eight seconds on 24",
      facts: seen({ frameRate: rate(24), motion: moving(1 / 8) }),
      brief: { timelineRate: rate(24) },
      expect: "passed",
    },
    {
      title: "a third of the width a second at 120, slowed to a fifth",
      facts: seen({ frameRate: rate(120), motion: moving(0.33) }),
      brief: { timelineRate: rate(24) },
      use: "slow",
      expect: "passed",
    },
    {
      title: "the same in real time",
      facts: seen({ frameRate: rate(120), motion: moving(0.33) }),
      brief: { timelineRate: rate(24) },
      use: "real time",
      expect: "workable",
    },
    {
      title: "half a second of fast motion",
      facts: seen({
        frameRate: rate(24),
        motion: { ...moving(0.5), ribbon: moving(0.5).ribbon.slice(0, 1) },
      }),
      brief: { timelineRate: rate(24) },
      expect: "unknown",
    },
    {
      title: "a picture without texture",
      facts: seen({ frameRate: rate(24) }),
      absent: { motion: "cannot tell: the picture does not move as one, or has no texture" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: { frameRate: rate(24) }, expect: "silent" },
  ],
});
