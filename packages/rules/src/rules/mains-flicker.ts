import {
  compare,
  flickerBeatHertz,
  flickerRipple,
  mainsSafeShutters,
  rate,
  rateLabel,
  safeRipple,
  type Seconds,
  type Series,
  shutterLabel,
  sortedShares,
  toNumber,
  typicalValue,
} from "@goodgate/model";
import { oneOver, seen, steps } from "../example-facts.ts";
import { amount, cannotTell, defineRule, type Found, limit, practice } from "../rule.ts";
import { lampsLikely } from "../lamps.ts";
import { lookedText } from "../seen.ts";
import { lampLightEv } from "../settings.ts";
import { shareText, short } from "../words.ts";

/** A ripple of more than this asks for work. House limit. */
const workableRipple = 0.1;
/** A beat slower than this stands still in a shot. */
const frozenHertz = 0.15;
/** Slowed pulsing between these is seen as pulsing. House limits. */
const slowestSeenHertz = 0.5;
const fastestSeenHertz = 15;
/** A shutter time held for less of the clip does not count. */
const leastShare = 0.05;

export default defineRule({
  id: "mains-flicker",
  title: "Flicker of mains lamps",
  cases: ["E1", "E2", "E3", "E4", "E5", "E6"],
  scope: "use",
  needs: ["frameRate", "shutterSeconds"],
  wants: ["iso", "fNumber", "ndStops", "flicker", "lookedAt"],
  decides: (brief) => brief.artificialLight === "yes",
  ownUnknown: true,
  // Pulsing that the pictures show is told by flicker-measured; this is its prediction.
  causedBy: ["capture-rate-unproven", "flicker-measured"],
  hangsOn: ["mainsHertz", "artificialLight"],
  explanation: `
Lamps on mains pulse at twice its frequency. A shutter that is open for whole pulses (1/100, 1/50 at 50 Hz; 1/120, 1/60
at 60 Hz) collects the same light in every frame; any other leaves pulsing or bands. The share given is for a fully
modulated light and so a ceiling: lamps with electronics may pulse less, or at other rates. Judged when the brief says
that lamps light the scene, or when the settings mean a light of EV 8 or less.
`,
  limits: [
    {
      name: "safe ripple",
      default: safeRipple,
      unit: "share of the mean",
      origin: "computed",
      source: "twice the ripple of 1/50 s at 49.5 Hz (EN 50160 range)",
    },
    {
      name: "needs work from",
      default: workableRipple,
      unit: "share of the mean",
      origin: "house limit",
      source: practice,
    },
    {
      name: "lamps likely up to",
      default: lampLightEv,
      unit: "EV at ISO 100",
      origin: "house limit",
      source: practice,
    },
    { name: "beat that stands still", default: frozenHertz, unit: "Hz", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Set the nearest shutter time that collects whole pulses.",
  remedyInEdit: "Deflicker for pulsing of the whole picture; rolling bands seldom clean up.",
  sources: ["computed; a simulation of sampled sine light gave the same figures"],
  applies: ({ brief }) => brief.artificialLight !== "no",

  check({ shutterSeconds }, { wants, use, brief }) {
    const lamps = brief.artificialLight === "yes" ? "yes" : lampsLikely(shutterSeconds, wants);
    if (lamps === "no") return undefined;
    const capture = use.rates.capture;
    const judge = (mains: 50 | 60): { open: Seconds; ripple: number } => worstRipple(shutterSeconds, mains);
    const stated = brief.mainsHertz;
    if (lamps === "cannot tell") {
      const safe = stated !== undefined && judge(stated).ripple <= safeRipple;
      if (safe) return "passed";
      return cannotTell(
        "Flicker not judged: without ISO and f-number the light is not known, so lamps may or may not light the scene.",
        ["iso", "fNumber"],
        'artificialLight "yes" or "no" in the brief, or telemetry with ISO and f-number',
      );
    }
    if (stated === undefined) {
      const [at50, at60] = [judge(50), judge(60)];
      if (at50.ripple <= safeRipple && at60.ripple <= safeRipple) return "passed";
      return cannotTell(
        `Lamps are likely and the mains is not stated: ${shutterLabel(at50.open)} pulses up to ${shareText(at50.ripple)} on 50 Hz, ${shareText(at60.ripple)} on 60 Hz.`,
        ["mainsHertz"],
        "mains: 50 or mains: 60 in the brief",
      );
    }
    const { open, ripple } = judge(stated);
    if (ripple <= safeRipple) return "passed";
    const beat = toNumber(flickerBeatHertz(capture, stated));
    const safe = mainsSafeShutters(capture, stated);
    const base = {
      measured: amount(Number(ripple.toFixed(3)), "share of the mean", `${shareText(ripple)} at ${shutterLabel(open)}`),
      limit: limit(safeRipple, "share of the mean", `${shareText(safeRipple)} at ${stated} Hz`, "computed"),
    };
    const likely = brief.artificialLight === "yes" ? "" : " if lamps are in shot";
    if (safe.length === 0) {
      return {
        ...base,
        case: "E3",
        grade: "workable",
        says: `At ${rateLabel(capture)} fps lamps on ${stated} Hz pulse at every shutter, ${shareText(ripple)} at ${shutterLabel(open)} (limit 2 %)${likely}; record ${2 * stated} fps at 1/${2 * stated}.`,
        remedy: `${2 * stated} fps or less at 1/${2 * stated}`,
        onLocation: `set ${2 * stated} fps or less at 1/${2 * stated}`,
        inEdit: "deflicker; averaging frames helps",
      };
    }
    const nearest = nearestTo(open, safe);
    const remedy = `set ${shutterLabel(nearest)}`;
    // Times no dial has, such as 3/100, help nobody.
    const onDial = safe.filter((time) => time.numerator === 1n);
    const list = onDial.slice(-3).toReversed().map(shutterLabel).join(", ");
    if (beat <= frozenHertz) {
      return {
        ...base,
        case: "E4",
        grade: "note",
        says: `Lamps on ${stated} Hz may leave standing bands at ${shutterLabel(open)} and ${rateLabel(capture)} fps, up to ${shareText(ripple)} (limit 2 %)${likely}; ${remedy}.`,
        remedy,
        onLocation: `${remedy} against the bands`,
        inEdit: "bands stay; a fixed grade mask",
      };
    }
    // Where the pictures were asked their answer counts: a prediction they do not bear out is worth a note.
    const looked = wants.flicker?.state === "read" ? wants.flicker.value : undefined;
    if (looked !== undefined) {
      const answer = looked.found
        ? "the pictures show it too"
        : `none over ${short(looked.leastSeenPercent)} % was seen`;
      return {
        ...base,
        case: "E2",
        grade: "note",
        says: `Lamps on ${stated} Hz could pulse up to ${shareText(ripple)} (limit 2 %) at ${shutterLabel(open)}; ${answer} (${lookedText(wants.lookedAt)}); safe: ${list}.`,
        remedy,
        onLocation: remedy,
        inEdit: "look at the lamps; deflicker where they pulse",
      };
    }
    const found: Found[] = [
      {
        ...base,
        case: "E2",
        grade: ripple > workableRipple ? "workable" : "note",
        says: `Lamps on ${stated} Hz pulse up to ${shareText(ripple)} (limit 2 %) at ${shutterLabel(open)}, ${short(beat)} times a second${likely}; safe: ${list}.`,
        remedy,
        onLocation: remedy,
        inEdit: "deflicker for pulsing of the whole picture; rolling bands seldom clean up",
      },
    ];
    const slowed = beat * toNumber(use.sceneSpeed);
    if (use.use === "slow" && slowed >= slowestSeenHertz && slowed <= fastestSeenHertz) {
      found.push({
        ...base,
        case: "E5",
        grade: "workable",
        says: `Slowed, lamps on ${stated} Hz pulse ${short(slowed)} times a second, ${shareText(ripple)} at ${shutterLabel(open)} (limit 2 %)${likely}; ${remedy}.`,
        remedy,
        onLocation: remedy,
        inEdit: "deflicker before the speed change",
      });
    }
    return found;
  },

  examples: [
    {
      title: "1/60 under 50 Hz lamps: 16.5 %",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(60) },
      brief: { timelineRate: rate(24), mainsHertz: 50, artificialLight: "yes" },
      expect: "workable",
    },
    {
      title: "1/48 under 50 Hz lamps: 4 %",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(48) },
      brief: { timelineRate: rate(24), mainsHertz: 50, artificialLight: "yes" },
      expect: "note",
    },
    {
      title: "1/50 under 50 Hz lamps",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(50) },
      brief: { timelineRate: rate(25), mainsHertz: 50, artificialLight: "yes" },
      expect: "passed",
    },
    {
      title: "120 fps under 50 Hz lamps",
      facts: { frameRate: rate(120), shutterSeconds: oneOver(240) },
      brief: { timelineRate: rate(24), mainsHertz: 50, artificialLight: "yes" },
      expect: "workable",
    },
    {
      title: "1/100 at 60 under 60 Hz lamps stands still",
      facts: { frameRate: rate(60), shutterSeconds: oneOver(100) },
      brief: { timelineRate: rate(60), mainsHertz: 60, artificialLight: "yes" },
      expect: "note",
    },
    {
      title: "1/60 at night, settings meaning EV 4, 50 Hz",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(60), iso: steps(1600), fNumber: steps(2.8) },
      brief: { timelineRate: rate(24), mainsHertz: 50 },
      expect: "workable",
    },
    {
      title: "1/60 under 50 Hz lamps, and the pictures show no pulsing",
      facts: seen({
        frameRate: rate(24),
        shutterSeconds: oneOver(60),
        flicker: { found: false, leastSeenPercent: 0.5 },
      }),
      brief: { timelineRate: rate(24), mainsHertz: 50, artificialLight: "yes" },
      expect: "note",
    },
    {
      title: "1/60 for a fortieth of the clip only",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(...Array<number>(39).fill(50), 60) },
      brief: { timelineRate: rate(25), mainsHertz: 50, artificialLight: "yes" },
      expect: "passed",
    },
    {
      title: "4 % of pulsing at 20 Hz, slowed to 8 Hz",
      facts: { frameRate: rate(60), shutterSeconds: oneOver(96) },
      brief: { timelineRate: rate(25), mainsHertz: 50, artificialLight: "yes" },
      use: "slow",
      expect: "workable",
    },
    {
      title: "4 % of pulsing at 20 Hz in real time",
      facts: { frameRate: rate(60), shutterSeconds: oneOver(96) },
      brief: { timelineRate: rate(25), mainsHertz: 50, artificialLight: "yes" },
      use: "real time",
      expect: "note",
    },
    {
      title: "the same settings as at night behind a filter of four stops are daylight",
      facts: {
        frameRate: rate(24),
        shutterSeconds: oneOver(60),
        iso: steps(800),
        fNumber: steps(2.8),
        ndStops: steps(4),
      },
      brief: { timelineRate: rate(24), mainsHertz: 50 },
      expect: "silent",
    },
    {
      title: "1/60 in daylight",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(60), iso: steps(100), fNumber: steps(11) },
      brief: { timelineRate: rate(24), mainsHertz: 50 },
      expect: "silent",
    },
    {
      title: "1/60 at night, mains not given",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(60), iso: steps(1600), fNumber: steps(2.8) },
      brief: { timelineRate: rate(24) },
      expect: "unknown",
    },
    {
      title: "1/60 and neither ISO nor f-number",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(60) },
      brief: { timelineRate: rate(24), mainsHertz: 50 },
      expect: "unknown",
    },
    {
      title: "1/4000 without an f-number is daylight on any lens",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(4000), iso: steps(100) },
      brief: { timelineRate: rate(24), mainsHertz: 50 },
      expect: "silent",
    },
    {
      title: "the brief says there are no lamps",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(60) },
      brief: { timelineRate: rate(24), mainsHertz: 50, artificialLight: "no" },
      expect: "silent",
    },
    {
      title: "no shutter recorded",
      facts: { frameRate: rate(24) },
      brief: { timelineRate: rate(24), mainsHertz: 50, artificialLight: "yes" },
      expect: "unknown",
    },
  ],
});

/** The strongest ripple of all shutter times that held for a twentieth of the clip. */
function worstRipple(shutter: Series<Seconds>, mains: number): { open: Seconds; ripple: number } {
  let worst: { open: Seconds; ripple: number } | undefined;
  for (const { value, share } of sortedShares(shutter, compare)) {
    if (share < leastShare) continue;
    const ripple = flickerRipple(value, mains);
    if (worst === undefined || ripple > worst.ripple) worst = { open: value, ripple };
  }
  const open = typicalValue(shutter, compare);
  return worst ?? { open, ripple: flickerRipple(open, mains) };
}

function nearestTo(open: Seconds, safe: readonly Seconds[]): Seconds {
  const apart = (time: Seconds): number => Math.abs(Math.log2(toNumber(time) / toNumber(open)));
  return safe.reduce((best, time) => (apart(time) < apart(best) ? time : best));
}
