import { type FactValues, type MeasuredHorizon, toNumber, valueOf } from "@goodgate/model";
import { seen } from "../example-facts.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { short } from "../words.ts";

/** Tilt in degrees that is seen, and that has to be mended, when it lasts. House limits. */
const noteDegrees = 1;
const workableDegrees = 3;
const leastSeconds = 2;
/** Looks come twice a second; a single look that found no line breaks nothing. House limit. */
const mostGapLooks = 2.2;

export default defineRule({
  id: "horizon-tilted",
  title: "Horizon not level",
  cases: ["M7"],
  scope: "clip",
  needs: [],
  wants: ["horizon", "width", "height", "pixelAspect", "mirrored", "lookedAt"],
  asks: ["horizon"],
  decides: false,
  explanation: `
How far a straight line between a bright, even sky and the ground is off level, where it stays so on one side for more
than two seconds. Hills, trees and houses are refused, not averaged, so most pictures have no such line. A tilt that was
wanted, and the bank of a turn, look the same as a gimbal that is not level: it is never more than workable. Asked with
--measure only.
`,
  limits: [
    { name: "worth a note above", default: noteDegrees, unit: "degrees", origin: "house limit", source: practice },
    { name: "needs work above", default: workableDegrees, unit: "degrees", origin: "house limit", source: practice },
    { name: "for more than", default: leastSeconds, unit: "s", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Level the gimbal: calibrate it on level ground, and wait until it has settled after a turn.",
  remedyInEdit: "Rotate the picture; the crop that takes is named.",
  sources: [practice, "crop of a turned picture: cos + width / height · sin of the angle, computed"],
  applies: picturesAsked,

  check(_facts, { wants }) {
    const horizon = valueOf(wants.horizon);
    if (horizon === undefined) return undefined;
    const steep = tiltedFor(horizon.ribbon, workableDegrees);
    const runs = steep.length > 0 ? steep : tiltedFor(horizon.ribbon, noteDegrees);
    const [worst] = [...runs].sort((a, b) => b.degrees - a.degrees);
    if (worst === undefined) return "passed";
    const bound = steep.length > 0 ? workableDegrees : noteDegrees;
    const low = worst.right !== (valueOf(wants.mirrored) === true) ? "right" : "left";
    const size = `${short(worst.degrees)}° off level`;
    const looked = lookedText(wants.lookedAt);
    const [width, height] = [valueOf(wants.width), valueOf(wants.height)];
    const aspect = valueOf(wants.pixelAspect);
    const crop =
      width === undefined || height === undefined || !(height > 0)
        ? ""
        : `, which crops ${short(cropPercent(worst.degrees, ((aspect === undefined ? 1 : toNumber(aspect)) * width) / height), 0)} %`;
    return {
      grade: steep.length > 0 ? "workable" : "note",
      says: `Horizon ${size}, ${low} low, ${short(worst.fromSeconds)} to ${short(worst.toSeconds)} s (limit ${bound}° for ${leastSeconds} s); level the gimbal, or rotate (${looked}).`,
      measured: amount(Number(worst.degrees.toFixed(2)), "degrees", `${size}, ${looked}`),
      limit: limit(bound, "degrees", `${bound}° for ${leastSeconds} s`, "house limit"),
      remedy: "level the gimbal",
      onLocation: "calibrate the gimbal on level ground",
      inEdit: `rotate by ${short(worst.degrees)}°${crop}`,
      atSeconds: runs.slice(0, 64).map((run) => run.fromSeconds),
    };
  },

  examples: [
    { title: "four degrees for three seconds", facts: tilted(4, 3), expect: "workable" },
    { title: "two degrees for three seconds", facts: tilted(2, 3), expect: "note" },
    {
      title: "two degrees to the left in a mirrored picture",
      facts: { ...tilted(-2, 3), mirrored: true },
      expect: "note",
    },
    { title: "four degrees for a second and a half", facts: tilted(4, 1.5), expect: "passed" },
    { title: "0.9 degrees", facts: tilted(0.9, 3), expect: "passed" },
    {
      title: "hills",
      facts: seen({}),
      absent: { horizon: "cannot tell: no straight line between sky and ground" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: {}, expect: "silent" },
  ],
});

interface Run {
  readonly fromSeconds: number;
  readonly toSeconds: number;
  /** Median over the run, without sign. */
  readonly degrees: number;
  readonly right: boolean;
}

/** Runs of neighbouring looks that are all tilted to one side by more than a limit, longer than two seconds. */
export function tiltedFor(ribbon: MeasuredHorizon["ribbon"], overDegrees: number): readonly Run[] {
  const steps = ribbon.slice(1).map(({ atSeconds }, place) => atSeconds - (ribbon[place]?.atSeconds ?? 0));
  const mostGap = mostGapLooks * (middle(steps) ?? 0);
  const runs: Run[] = [];
  let run: MeasuredHorizon["ribbon"][number][] = [];
  const finish = (): void => {
    const [first, last] = [run[0], run.at(-1)];
    if (first !== undefined && last !== undefined && last.atSeconds - first.atSeconds > leastSeconds) {
      runs.push({
        fromSeconds: first.atSeconds,
        toSeconds: last.atSeconds,
        degrees: middle(run.map((look) => Math.abs(look.tiltDegrees))) ?? 0,
        right: first.tiltDegrees > 0,
      });
    }
    run = [];
  };
  for (const look of ribbon) {
    const last = run.at(-1);
    const goesOn =
      last !== undefined &&
      look.atSeconds - last.atSeconds <= mostGap &&
      Math.sign(look.tiltDegrees) === Math.sign(last.tiltDegrees);
    if (!goesOn) finish();
    if (Math.abs(look.tiltDegrees) > overDegrees) run.push(look);
    else finish();
  }
  finish();
  return runs;
}

const middle = (values: readonly number[]): number | undefined =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

/** How much larger a picture has to be so that it still fills its frame when turned, in %. */
export function cropPercent(degrees: number, aspect: number): number {
  const turn = (Math.abs(degrees) * Math.PI) / 180;
  return 100 * (Math.cos(turn) + Math.max(aspect, 1 / aspect) * Math.sin(turn) - 1);
}

function tilted(degrees: number, seconds: number): Partial<FactValues> {
  const ribbon = Array.from({ length: 21 }, (_, half) => ({
    atSeconds: half / 2,
    tiltDegrees: half / 2 <= seconds ? degrees : 0.1,
  }));
  const horizon = { tiltDegrees: degrees, lowDegrees: degrees, highDegrees: degrees, looks: ribbon.length, ribbon };
  return seen({ horizon, width: 3840, height: 2160 });
}
