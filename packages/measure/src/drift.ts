import { signalRange } from "./code-values.ts";
import { isSure } from "./apparent-motion.ts";
import { pairMotion } from "./global-motion.ts";
import { lightOf } from "./light.ts";
import { cannotTell, type Measured, type MeasuredDrift } from "./measurement.ts";
import { quantileInPlace } from "./numbers.ts";
import { ribbonOf } from "./ribbon.ts";

/** Pictures are compared this often. */
export const linksPerSecond = 2;
/** Signal of pixels that are compared: nearer to the ends clipping and black level bend the ratio. */
const usableSignal = { least: 0.1, most: 0.9 } as const;
/** Pixels that have to be left of a pair. */
const leastPixels = 200;
/** Fewest links that say something. */
const leastLinks = 3;
/** Codes are told apart this finely. */
const stepsPerCode = 8;

/** Follows the exposure of the content from picture to picture. */
export interface DriftGatherer {
  /** Takes in a small picture in 8 bit codes; the next is compared with it. */
  add(atSeconds: number, picture: Float64Array): void;
  /** Says that the next picture does not follow the last. */
  gap(): void;
  result(): Measured<MeasuredDrift>;
}

/**
 * A new gatherer for pictures of `width` by `height`. Method: two pictures are laid over each other by phase correlation
 * and the median ratio of their light is the change of exposure (comparagram of aligned pictures: Mann 2000).
 */
export function gatherDrift(width: number, height: number, fullRange: boolean, transfer?: string): DriftGatherer {
  const light = lightOf(transfer);
  const { black, white } = signalRange(8, fullRange);
  const stopsOf = Float64Array.from({ length: 256 * stepsPerCode }, (_, i) => {
    const signal = (i / stepsPerCode - black) / (white - black);
    if (signal < usableSignal.least || signal > usableSignal.most || light === undefined) return Number.NaN;
    return Math.log2(light(signal));
  });
  let past: Float64Array | undefined;
  const kept = new Float64Array(width * height);
  const room = new Float64Array(width * height);
  const ribbon = ribbonOf<MeasuredDrift["ribbon"][number]>();
  let [stops, links] = [0, 0];
  let part = startOf(0);
  let widest = { changeStops: 0, fromSeconds: 0, toSeconds: 0 };
  const gap = (): void => {
    past = undefined;
  };
  return {
    gap,
    add(atSeconds, picture) {
      if (light === undefined) return;
      const change = past === undefined ? undefined : changeOf(past, picture, width, height, stopsOf, room);
      if (change === undefined) {
        stops = 0;
        part = startOf(atSeconds);
      } else {
        stops += change;
        links += 1;
        if (stops > part.most.stops) part.most = { stops, atSeconds };
        if (stops < part.least.stops) part.least = { stops, atSeconds };
        const [from, to] =
          part.least.atSeconds <= part.most.atSeconds ? [part.least, part.most] : [part.most, part.least];
        if (Math.abs(to.stops - from.stops) > Math.abs(widest.changeStops)) {
          const changeStops = to.stops - from.stops;
          widest = { changeStops, fromSeconds: from.atSeconds, toSeconds: to.atSeconds };
        }
      }
      ribbon.add({ atSeconds, stops });
      kept.set(picture);
      past = kept;
    },
    result() {
      if (light === undefined) return cannotTell("the curve from light to code values is not known");
      if (links < leastLinks) return cannotTell("no run of pictures could be laid over each other");
      return { state: "read", ...tightened(widest, ribbon.points()), ribbon: ribbon.points() };
    },
  };
}

/** The same change without the level stretches before and after it: from its first to its last twentieth. */
function tightened(
  change: Omit<MeasuredDrift, "ribbon">,
  ribbon: MeasuredDrift["ribbon"],
): Omit<MeasuredDrift, "ribbon"> {
  const { changeStops, fromSeconds, toSeconds } = change;
  const inside = ribbon.filter(({ atSeconds }) => atSeconds >= fromSeconds && atSeconds <= toSeconds);
  const base = inside[0]?.stops ?? 0;
  const done = (stops: number): number => (stops - base) / (changeStops === 0 ? 1 : changeStops);
  const from = inside.findLast(({ stops }) => done(stops) <= 0.05)?.atSeconds ?? fromSeconds;
  const to = inside.find(({ atSeconds, stops }) => atSeconds > from && done(stops) >= 0.95)?.atSeconds ?? toSeconds;
  return { changeStops, fromSeconds: from, toSeconds: to };
}

const startOf = (atSeconds: number) => ({ least: { stops: 0, atSeconds }, most: { stops: 0, atSeconds } });

/** Stops by which the second picture is brighter where both show the same; undefined when they do not match. */
function changeOf(
  first: Float64Array,
  second: Float64Array,
  width: number,
  height: number,
  stopsOf: Float64Array,
  room: Float64Array,
): number | undefined {
  const found = pairMotion(first, second, width, height);
  if (found === undefined || !isSure(found)) return undefined;
  const [dx, dy] = [Math.round(found.dx), Math.round(found.dy)];
  let ratios = 0;
  for (let y = Math.max(0, dy); y < Math.min(height, height + dy); y += 1) {
    for (let x = Math.max(0, dx); x < Math.min(width, width + dx); x += 1) {
      const was = stopsOf[Math.round((first[(y - dy) * width + x - dx] ?? 0) * stepsPerCode)] ?? Number.NaN;
      const is = stopsOf[Math.round((second[y * width + x] ?? 0) * stepsPerCode)] ?? Number.NaN;
      if (is - was !== is - was) continue;
      room[ratios] = is - was;
      ratios += 1;
    }
  }
  return ratios < leastPixels ? undefined : quantileInPlace(room.subarray(0, ratios), 0.5);
}
