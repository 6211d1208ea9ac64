import { type MeasuredRepeats, type Rate, rate, rateLabel, toNumber, valueOf } from "@goodgate/model";
import { moving, seen, timing } from "../example-facts.ts";
import { amount, cannotTell, defineRule, type Found, limit, noRemedyInEdit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { mixedFromRate, trueRate } from "../true-rate.ts";
import { counted, ordinal, secondsText, shareText } from "../words.ts";

/** One stall in this time is a note, and a share above that leaves no continuous use, as for lost frames. House limits. */
const secondsPerStall = 60;
const stalledShare = 0.01;
/** Fewer than this say nothing of a share. House limit. */
const leastStalls = 3;
/** Share of mixed pictures from which a rate was converted: single ones are chance. House limit. */
const mixedShare = 0.05;
/** From here on the rule shake speaks, in % of the width. */
const shakingPercent = 0.15;

/** What an example starts from: nothing repeated, and mixes not judged. */
const unmixed: MeasuredRepeats = {
  repeatedShare: 0,
  pattern: "none",
  repeatedAtSeconds: [],
  droppedAtSeconds: [],
};

export default defineRule({
  id: "repeated-pictures",
  title: "Repeated pictures",
  cases: ["H4"],
  scope: "clip",
  needs: [],
  wants: ["repeats", "frameRate", "timing", "motion", "lookedAt"],
  asks: ["repeats"],
  decides: false,
  explanation: `
Frames that look like the one before while the scene moves. In a regular pattern the camera captured at a lower rate than
it wrote: the clip is judged at its true rate, as it is once the repeats are removed. Single repeats are stalls of the
recording, jumps are frames that were never written, and pictures that mix their neighbours come from a conversion of the
rate, which can be told with the rate it came from when the move is fast and even enough. A still scene cannot tell: a
repeat looks like any other frame. Asked with --measure only.
`,
  limits: [
    { name: "one stall in", default: secondsPerStall, unit: "s", origin: "house limit", source: practice },
    {
      name: "stalls for continuous use",
      default: stalledShare,
      unit: "share of frames",
      origin: "house limit",
      source: practice,
    },
    { name: "mixed pictures", default: mixedShare, unit: "share of frames", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Set a mode whose rate the camera captures natively; against stalls use a faster card.",
  remedyInEdit:
    "Remove the regular repeats and treat the clip at its true rate; cut at stalls and jumps; ask for the clip as it was before its pictures were mixed.",
  sources: [practice],
  applies: picturesAsked,

  check(_facts, { wants }) {
    const repeats = valueOf(wants.repeats);
    const plays = valueOf(wants.frameRate);
    if (repeats === undefined || plays === undefined) return undefined;
    const looked = lookedText(wants.lookedAt);
    const real = trueRate(wants, plays);
    const found: Found[] = [];
    if (real !== undefined) {
      const share = 1 - toNumber(real) / toNumber(plays);
      const every = 1 / share;
      const which =
        Math.abs(every - Math.round(every)) < 0.05
          ? `Every ${ordinal(Math.round(every))} picture is a repeat`
          : `${shareText(share)} of the pictures are repeats`;
      found.push({
        grade: "workable",
        says: `${which}: the true rate is ${rateLabel(real)} fps, not ${rateLabel(plays)}; remove the repeats (${looked}).`,
        measured: amount(toNumber(real), "frames/s", `${rateLabel(real)} new pictures a second, ${looked}`),
        limit: limit(toNumber(plays), "frames/s", `${rateLabel(plays)} fps`, "computed"),
        remedy: "remove the repeats",
        onLocation: `record at ${rateLabel(real)} fps`,
        inEdit: `remove the repeats, then treat it as ${rateLabel(real)} fps`,
      });
    } else {
      found.push(...stalls(repeats, valueOf(wants.lookedAt)?.seconds ?? 0, looked));
      // Frames whose times are missing as well are the question of frame-timing, and a picture that shakes jumps anyway.
      const shakes = (valueOf(wants.motion)?.vibrationPercent ?? 0) >= shakingPercent;
      if ((valueOf(wants.timing)?.lostFrames ?? 0) === 0 && !shakes) {
        found.push(...jumps(repeats, valueOf(wants.lookedAt)?.seconds ?? 0, looked));
      }
    }
    const mixed = repeats.blendedShare;
    if (mixed !== undefined && mixed > mixedShare) {
      found.push(mixes(mixed, mixedFromRate(wants, plays), plays, looked));
    }
    if (found.length > 0) return found;
    if (mixed !== undefined) return "passed";
    return cannotTell(
      `Mixed pictures not judged: the move is too slow, too short or too uneven, or coding hides them (${looked}).`,
      ["repeats"],
      "a stretch with a faster, even move",
      true,
    );
  },

  examples: [
    {
      title: "no repeats, and too slow a move to tell mixes",
      facts: seen({ frameRate: rate(30), repeats: unmixed }),
      expect: "unknown",
    },
    {
      title: "24 pictures a second in a file of 30",
      facts: seen({
        frameRate: rate(30),
        repeats: repeatsOf({ repeatedShare: 0.2, pattern: "regular", trueFramesPerSecond: 24 }),
      }),
      expect: "workable",
    },
    {
      title: "one stall in 90 s looked at",
      facts: seen({ frameRate: rate(25), repeats: stalled(1, 2250) }, 90),
      expect: "note",
    },
    {
      title: "one stall in 20 s looked at",
      facts: seen({ frameRate: rate(25), repeats: stalled(1, 500) }),
      expect: "workable",
    },
    {
      title: "six stalls in 500 frames",
      facts: seen({ frameRate: rate(25), repeats: stalled(6, 500) }),
      expect: "reshoot",
    },
    {
      title: "one jump where no time is missing",
      facts: seen({ frameRate: rate(25), timing: timing(), repeats: repeatsOf({ droppedAtSeconds: [4] }) }),
      expect: "workable",
    },
    {
      title: "a jump in a file whose times say that frames are lost",
      facts: seen({
        frameRate: rate(25),
        timing: timing({ lostFrames: 1 }),
        repeats: repeatsOf({ droppedAtSeconds: [4] }),
      }),
      expect: "passed",
    },
    {
      title: "jumps of a picture that shakes",
      facts: seen({
        frameRate: rate(25),
        motion: moving(0.1, 0.5),
        repeats: repeatsOf({ droppedAtSeconds: [4, 5, 6] }),
      }),
      expect: "passed",
    },
    {
      title: "40 % of the pictures are mixes",
      facts: seen({ frameRate: rate(30), repeats: repeatsOf({ blendedShare: 0.4 }) }),
      expect: "workable",
    },
    {
      title: "24 pictures a second mixed to 30",
      facts: seen({ frameRate: rate(30), repeats: repeatsOf({ blendedShare: 0.8, mixedFromFramesPerSecond: 24 }) }),
      expect: "workable",
    },
    { title: "every picture is new", facts: seen({ frameRate: rate(25), repeats: repeatsOf({}) }), expect: "passed" },
    {
      title: "a still scene",
      facts: seen({ frameRate: rate(25) }),
      absent: { repeats: "cannot tell: the picture is too still" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: { frameRate: rate(25) }, expect: "silent" },
  ],
});

function mixes(share: number, from: Rate | undefined, plays: Rate, looked: string): Found {
  const text = shareText(share);
  const common = {
    grade: "workable",
    limit: limit(mixedShare, "share of frames", shareText(mixedShare), "house limit"),
  } as const;
  if (from === undefined) {
    return {
      ...common,
      says: `${text} of the pictures mix their neighbours (limit 5 %): the camera converted the rate; record natively (${looked}).`,
      measured: amount(Number(share.toFixed(3)), "share of frames", `${text} mixed, ${looked}`),
      remedy: "use a rate the camera captures natively",
      onLocation: "set a rate the camera captures natively",
      inEdit: noRemedyInEdit,
    };
  }
  const rate = rateLabel(from);
  return {
    ...common,
    says: `${rate} fps was mixed to ${rateLabel(plays)}: ${text} of the pictures show two at once (limit 5 %); ask for the clip at ${rate} fps (${looked}).`,
    measured: amount(
      Number(share.toFixed(3)),
      "share of frames",
      `${text} mixed from ${rate} pictures a second, ${looked}`,
    ),
    remedy: `ask for the clip at ${rate} fps, as it was before it was converted`,
    onLocation: "set a rate the camera captures natively, that of the timeline when there is one",
    inEdit: `ask for the clip at ${rate} fps; mixed pictures cannot be parted`,
  };
}

function stalls(of: MeasuredRepeats, seconds: number, looked: string): readonly Found[] {
  const count = of.repeatedAtSeconds.length;
  if (of.pattern === "none" || count === 0) return [];
  const rare = count <= seconds / secondsPerStall;
  return [
    {
      grade: of.repeatedShare > stalledShare && count >= leastStalls ? "reshoot" : rare ? "note" : "workable",
      says: `${counted(count, "picture")} repeated amid motion (${shareText(of.repeatedShare)}, limit 1 %), first at ${secondsText(of.repeatedAtSeconds[0] ?? 0)}: a stall; cut there (${looked}).`,
      measured: amount(count, "frames", `${shareText(of.repeatedShare)} of the frames, ${looked}`),
      limit: limit(stalledShare, "share of frames", shareText(stalledShare), "house limit"),
      remedy: "cut there, or interpolate",
      onLocation: "use a card of the class the camera asks for; fly the move again",
      inEdit: "cut at the stalls; interpolate single frames",
      atSeconds: of.repeatedAtSeconds.slice(0, 64),
    },
  ];
}

function jumps(of: MeasuredRepeats, seconds: number, looked: string): readonly Found[] {
  const count = of.droppedAtSeconds.length;
  if (count === 0) return [];
  return [
    {
      grade: count <= seconds / secondsPerStall ? "note" : "workable",
      says: `The motion jumps ${counted(count, "time")}, first at ${secondsText(of.droppedAtSeconds[0] ?? 0)}, as if frames were lost; cut there (${looked}).`,
      measured: amount(count, "jumps", `${counted(count, "jump")}, ${looked}`),
      limit: limit(0, "jumps", "no jump", "house limit"),
      remedy: "cut there, or interpolate",
      onLocation: "use a card of the class the camera asks for; fly the move again",
      inEdit: "cut at the jumps; interpolate single frames",
      atSeconds: of.droppedAtSeconds.slice(0, 64),
    },
  ];
}

function repeatsOf(change: Partial<MeasuredRepeats>): MeasuredRepeats {
  return { ...unmixed, blendedShare: 0, ...change };
}

function stalled(count: number, frames: number): MeasuredRepeats {
  const repeatedAtSeconds = Array.from({ length: count }, (_, place) => 3 + place);
  return repeatsOf({ pattern: "single", repeatedShare: count / frames, repeatedAtSeconds });
}
