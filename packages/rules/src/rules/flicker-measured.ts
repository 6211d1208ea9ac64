import {
  type MeasuredFlicker,
  mainsSafeShutters,
  one,
  rate,
  type Seconds,
  shutterLabel,
  toNumber,
  valueOf,
} from "@goodgate/model";
import { seen } from "../example-facts.ts";
import { amount, cannotTell, defineRule, limit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { short } from "../words.ts";

/** Half of the swing of brightness, in % of the mean. House limits. */
const notePercent = 1;
const workablePercent = 3;
/** With bands that roll through the picture, which no deflicker takes out. House limit. */
const reshootPercent = 8;

export default defineRule({
  id: "flicker-measured",
  title: "Flicker in the picture",
  cases: ["M5"],
  scope: "clip",
  needs: [],
  wants: ["flicker", "lookedAt"],
  asks: ["flicker"],
  decides: false,
  hangsOn: ["mainsHertz"],
  explanation: `
Brightness that swings in step, of the whole picture or in bands of rows, in at least four seconds looked at. The mains is
inferred: the one whose lamps, pulsing at twice its frequency, beat like this against the frame rate. Lamps with their own
electronics can pulse at any rate. At rates locked to the mains the bands stand still and do not swing. What is seen here
stands in place of what mains-flicker predicts from the shutter. Asked with --measure only.
`,
  limits: [
    { name: "worth a note from", default: notePercent, unit: "% of the mean", origin: "house limit", source: practice },
    {
      name: "needs work from",
      default: workablePercent,
      unit: "% of the mean",
      origin: "house limit",
      source: practice,
    },
    {
      name: "past repair from, with rolling bands",
      default: reshootPercent,
      unit: "% of the mean",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Set a shutter time that collects whole pulses of the mains.",
  remedyInEdit: "Deflicker pulsing of the whole picture; rolling bands seldom clean up.",
  sources: [practice, "beat of lamps and frame rate |2f − n·C|: sampling theorem"],
  applies: picturesAsked,

  check(_facts, { wants, brief, rates }) {
    const flicker = valueOf(wants.flicker);
    if (flicker === undefined) return undefined;
    const looked = lookedText(wants.lookedAt);
    if (!flicker.found || flicker.amplitudePercent === undefined) {
      if (flicker.leastSeenPercent <= notePercent) return "passed";
      return cannotTell(
        `Flicker in the picture not judged: motion and noise would hide less than ${short(flicker.leastSeenPercent)} % (limit 1 %).`,
        ["flicker"],
        "a look at a stretch in which the camera stands still",
        true,
      );
    }
    const percent = flicker.amplitudePercent;
    if (percent < notePercent) return "passed";
    const bands = (flicker.bandsPerPicture ?? 0) > 0;
    const grade = bands && percent >= reshootPercent ? "reshoot" : percent >= workablePercent ? "workable" : "note";
    const bound = { note: notePercent, workable: workablePercent, reshoot: reshootPercent }[grade];
    const mains = flicker.mainsHertz;
    const safe =
      mains === undefined || rates === undefined
        ? []
        : mainsSafeShutters(rates.capture, mains).filter((time) => time.numerator === 1n);
    const asked = brief.shutterAngleDegrees / (360 * toNumber(rates?.capture ?? one));
    const off = (time: Seconds): number => Math.abs(Math.log2(toNumber(time) / asked));
    const [nearest] = safe.toSorted((a, b) => off(a) - off(b));
    const remedy = nearest === undefined ? "deflicker it" : `set ${shutterLabel(nearest)}`;
    const other =
      brief.mainsHertz !== undefined && brief.mainsHertz !== mains ? `, brief says ${brief.mainsHertz}` : "";
    const fits = mains === undefined ? "fits no mains" : `fits ${mains} Hz mains (inferred${other})`;
    const swing = `${short(percent)} % at ${short(flicker.hertz ?? 0, 2)} Hz`;
    return {
      grade,
      says: `Light pulses ${swing}${bands ? " in bands" : ""} (limit ${bound} %), ${fits}; ${remedy} (${looked}).`,
      measured: amount(Number(percent.toFixed(2)), "% of the mean", `${swing}, ${fits}, ${looked}`),
      limit: limit(bound, "% of the mean", `${bound} %`, "house limit"),
      remedy,
      onLocation:
        nearest === undefined
          ? "another shutter time, tried against the lamps"
          : `set ${safe.slice(0, 3).map(shutterLabel).join(" or ")}: whole pulses of ${mains} Hz mains`,
      inEdit: bands ? "rolling bands seldom clean up; a deflicker for rows" : "deflicker",
    };
  },

  examples: [
    {
      title: "5 % at 4 Hz, lamps on 50 Hz at 24 frames a second",
      facts: seen({ frameRate: rate(24), flicker: pulsing(5, 4, 50) }),
      expect: "workable",
    },
    {
      title: "2 % at 4 Hz",
      facts: seen({ frameRate: rate(24), flicker: pulsing(2, 4, 50) }),
      expect: "note",
    },
    {
      title: "9 % in bands, another mains than the brief says",
      facts: seen({ frameRate: rate(25), flicker: { ...pulsing(9, 5, 60), bandsPerPicture: 1.5 } }),
      brief: { mainsHertz: 50 },
      expect: "reshoot",
    },
    {
      title: "9 % of the whole picture at a rate no mains gives",
      facts: seen({ frameRate: rate(25), flicker: pulsing(9, 7.3) }),
      expect: "workable",
    },
    {
      title: "0.9 %",
      facts: seen({ frameRate: rate(24), flicker: pulsing(0.9, 4, 50) }),
      expect: "passed",
    },
    {
      title: "none, and half a percent would have been seen",
      facts: seen({ frameRate: rate(24), flicker: { found: false, leastSeenPercent: 0.5 } }),
      expect: "passed",
    },
    {
      title: "none, but four percent would not have been seen either",
      facts: seen({ frameRate: rate(24), flicker: { found: false, leastSeenPercent: 4 } }),
      expect: "unknown",
    },
    {
      title: "a clip of two seconds",
      facts: seen({ frameRate: rate(24) }),
      absent: { flicker: "cannot tell: no run of 4 s was looked at" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: { frameRate: rate(24) }, expect: "silent" },
  ],
});

function pulsing(amplitudePercent: number, hertz: number, mainsHertz?: 50 | 60): MeasuredFlicker {
  const mains = mainsHertz === undefined ? {} : { mainsHertz };
  return { found: true, amplitudePercent, hertz, bandsPerPicture: 0, leastSeenPercent: 0.3, ...mains };
}
