import { type Facts, type MeasuredDrift, type MeasuredExposure, valueOf } from "@goodgate/model";
import { levels, oneOver, seen, steps } from "../example-facts.ts";
import { exposureOverTime, spread } from "../exposure.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { atBlack, lookedText, picturesAsked } from "../seen.ts";
import { secondsText, short, stopsText } from "../words.ts";

/** One camera step. Common practice, no source. */
const noteStops = 0.33;
/** A step of brightness where the curve from light to code values is not known. House limit. */
const jumpPercent = 8;

export default defineRule({
  id: "drift-measured",
  title: "Brightness drifts in the picture",
  cases: ["M6"],
  scope: "clip",
  needs: [],
  wants: ["exposureDrift", "pictureLevels", "stillness", "shutterSeconds", "iso", "fNumber", "lookedAt"],
  asks: ["exposureDrift"],
  decides: false,
  // Settings that moved are the cause of a picture that moved with them.
  causedBy: ["exposure-drift"],
  explanation: `
Change of exposure on the same content: pictures are laid over each other by their motion, so that flying from dark to
bright ground is no change. Steps within a frame or two need work, slow changes are a note. Beside it stands whether the
recorded settings moved: if they did not, the light did. Where the curve from light to code values is not known, slow
changes are not judged. The colour is not measured. Asked with --measure only.
`,
  limits: [
    { name: "worth a note from", default: noteStops, unit: "stops", origin: "house limit", source: practice },
    {
      name: "a step within two frames needs work from",
      default: noteStops,
      unit: "stops",
      origin: "house limit",
      source: practice,
    },
    {
      name: "the same where the curve is not known",
      default: jumpPercent,
      unit: "% of the signal range",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Lock the exposure; under moving clouds wait for one light.",
  remedyInEdit: "Keyframe the gain the other way, or cut at the steps.",
  sources: [practice],
  applies: picturesAsked,

  check(_facts, { wants }) {
    const drift = valueOf(wants.exposureDrift);
    if (drift === undefined) return undefined;
    const looked = lookedText(wants.lookedAt);
    const settings = settingsText(wants.shutterSeconds, wants.iso, wants.fNumber);
    const jumps = (valueOf(wants.pictureLevels)?.jumps ?? []).filter(
      ({ atSeconds, changeStops }) =>
        (changeStops === undefined || Math.abs(changeStops) >= noteStops) && !atBlack(wants.stillness, atSeconds),
    );
    if (jumps.length > 0) {
      const most = jumps.reduce((a, b) => (Math.abs(b.changePercent) > Math.abs(a.changePercent) ? b : a));
      const size = jumpText(most);
      const bound = most.changeStops === undefined ? `${jumpPercent} %` : `${noteStops} stop`;
      return {
        grade: "workable",
        says: `Brightness jumps by ${size} (limit ${bound}) at ${secondsText(most.atSeconds)}; ${settings}; lock it, cut there (${looked}).`,
        measured: amount(
          Number((most.changeStops ?? most.changePercent).toFixed(2)),
          most.changeStops === undefined ? "% of the signal range" : "stops",
          `a jump of ${size}, ${settings}, ${looked}`,
        ),
        limit:
          most.changeStops === undefined
            ? limit(jumpPercent, "% of the signal range", bound, "house limit")
            : limit(noteStops, "stops", bound, "house limit"),
        remedy: "lock the exposure",
        onLocation: "lock the exposure",
        inEdit: "cut there, or keyframe the gain the other way",
        atSeconds: jumps.slice(0, 64).map((jump) => jump.atSeconds),
      };
    }
    const stops = Math.abs(drift.changeStops);
    if (stops < noteStops) return "passed";
    const way = drift.changeStops > 0 ? "brightened" : "darkened";
    return {
      grade: "note",
      says: `The picture ${way} by ${stopsText(stops)} (limit ${noteStops}) from ${secondsText(drift.fromSeconds)} to ${secondsText(drift.toSeconds)}; ${settings}; keyframe it (${looked}).`,
      measured: amount(Number(stops.toFixed(2)), "stops", `${stopsText(stops)}, ${settings}, ${looked}`),
      limit: limit(noteStops, "stops", `${noteStops} stops`, "house limit"),
      remedy: "keyframe the gain the other way",
      onLocation: "lock the exposure, or wait for one light",
      inEdit: "keyframe the gain the other way",
      atSeconds: [drift.fromSeconds, drift.toSeconds],
    };
  },

  examples: [
    {
      title: "a step of 12 % and 0.6 stop, settings not recorded",
      facts: seen({ exposureDrift: driftOf(0.6), pictureLevels: jumping(12, 0.6) }),
      expect: "workable",
    },
    {
      title: "0.5 stop while the settings hold",
      facts: seen({
        exposureDrift: driftOf(0.5),
        pictureLevels: levels(),
        shutterSeconds: oneOver(50),
        iso: steps(100),
      }),
      expect: "note",
    },
    {
      title: "0.4 stop darker with the settings",
      facts: seen({ exposureDrift: driftOf(-0.4), shutterSeconds: oneOver(50, 80), iso: steps(100) }),
      expect: "note",
    },
    {
      title: "0.3 stop, and a step that is none in stops",
      facts: seen({ exposureDrift: driftOf(0.3), pictureLevels: jumping(8, 0.2) }),
      expect: "passed",
    },
    {
      title: "the step where a black stretch begins",
      facts: seen({
        exposureDrift: driftOf(0.1),
        pictureLevels: jumping(-40, -3),
        stillness: { black: [{ fromSeconds: 4.3, toSeconds: 6 }], frozen: [] },
      }),
      expect: "passed",
    },
    {
      title: "pictures that do not match",
      facts: seen({}),
      absent: { exposureDrift: "cannot tell: no run of pictures could be laid over each other" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: {}, expect: "silent" },
  ],
});

const jumpText = (of: MeasuredExposure["jumps"][number]): string =>
  of.changeStops === undefined ? `${short(Math.abs(of.changePercent), 0)} % of its range` : stopsText(of.changeStops);

/** Whether the recorded settings moved by a camera step, in words. */
function settingsText(
  shutter: Facts["shutterSeconds"] | undefined,
  iso: Facts["iso"] | undefined,
  fNumber: Facts["fNumber"] | undefined,
): string {
  if (shutter?.state !== "read" || iso?.state !== "read") return "settings not recorded";
  const aperture = valueOf(fNumber);
  const points = exposureOverTime({
    shutterSeconds: shutter.value,
    iso: iso.value,
    ...(aperture === undefined ? {} : { fNumber: aperture }),
  });
  const ends = spread(points);
  return ends !== undefined && ends.most.stops - ends.least.stops >= noteStops
    ? "the settings moved too"
    : "the settings did not move";
}

function driftOf(changeStops: number): MeasuredDrift {
  return { changeStops, fromSeconds: 4, toSeconds: 9.5, ribbon: [] };
}

function jumping(changePercent: number, changeStops: number): MeasuredExposure {
  return levels({ jumps: [{ atSeconds: 4.2, changePercent, changeStops }] });
}
