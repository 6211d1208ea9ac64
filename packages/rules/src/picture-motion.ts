import type { MeasuredMotion } from "@goodgate/model";

/** Motion has to last this long to be seen as a pan. */
const lastingSeconds = 1;

/**
 * The fastest motion that lasted a second, in picture widths a second, and when it began: of every run of neighbouring
 * points that makes a second the slowest. Undefined when no second was looked at without a break.
 */
export function lastingMotion({
  ribbon,
  secondsPerPoint,
}: Pick<MeasuredMotion, "ribbon" | "secondsPerPoint">):
  | { readonly widthsPerSecond: number; readonly atSeconds: number }
  | undefined {
  let fastest: { widthsPerSecond: number; atSeconds: number } | undefined;
  const points = Math.max(1, Math.ceil(lastingSeconds / secondsPerPoint - 0.05));
  for (let place = 0; place + points <= ribbon.length; place += 1) {
    const run = ribbon.slice(place, place + points);
    const [first, last] = [run[0]?.atSeconds ?? 0, run.at(-1)?.atSeconds ?? 0];
    if (last - first > 1.3 * (points - 1) * secondsPerPoint) continue;
    const widthsPerSecond = Math.min(...run.map((point) => point.widthsPerSecond));
    if (fastest === undefined || widthsPerSecond > fastest.widthsPerSecond) {
      fastest = { widthsPerSecond, atSeconds: first };
    }
  }
  return fastest;
}
