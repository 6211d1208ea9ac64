import type { FactValues } from "@goodgate/model";

/** Points of a path that are kept; enough for a map in a report. */
const mostPoints = 512;
/** Numbers of one point: latitude, longitude, altitude or no number, microseconds. */
const pointNumbers = 4;

type PathPoint = FactValues["path"][number];

/** Collects a flown path in bounded memory. An altitude that is not known is no number. */
export interface PathBuilder {
  add(latitudeDegrees: number, longitudeDegrees: number, altitudeMetres: number, microseconds: number): void;
  /** Points so far, and of how many one is kept by now. */
  readonly count: () => number;
  readonly stride: () => number;
  /**
   * Adds `more` points, given as four numbers each: the last, and those whose number is a multiple of the stride.
   */
  addThinned(more: number, points: Float64Array, last: Float64Array): void;
  /** Up to 512 points evenly thinned, the first and the last always among them. */
  finish(): readonly PathPoint[];
}

/** An empty path. Doubles its stride whenever twice the wanted points have gathered. */
export function pathBuilder(): PathBuilder {
  const points = new Float64Array(2 * mostPoints * pointNumbers);
  const last = new Float64Array(pointNumbers);
  const added = new Float64Array(pointNumbers);
  let kept = 0;
  let stride = 1;
  let count = 0;
  const keep = (point: Float64Array): void => {
    points.set(point, kept * pointNumbers);
    kept += 1;
    if (kept < 2 * mostPoints) return;
    kept = mostPoints;
    for (let place = 1; place < kept; place += 1) {
      points.copyWithin(place * pointNumbers, 2 * place * pointNumbers, (2 * place + 1) * pointNumbers);
    }
    stride *= 2;
  };
  const builder: PathBuilder = {
    add(latitudeDegrees, longitudeDegrees, altitudeMetres, microseconds) {
      added[0] = latitudeDegrees;
      added[1] = longitudeDegrees;
      added[2] = altitudeMetres;
      added[3] = microseconds;
      builder.addThinned(1, count % stride === 0 ? added : added.subarray(0, 0), added);
    },
    count: () => count,
    stride: () => stride,
    addThinned(more, given, lastGiven) {
      const step = stride;
      const whole = given.length / pointNumbers;
      if (kept + whole < 2 * mostPoints) {
        points.set(given, kept * pointNumbers);
        kept += whole;
      } else {
        const first = Math.ceil(count / step) * step;
        for (let place = 0; place < whole; place += 1) {
          if ((first + place * step) % stride !== 0) continue;
          keep(given.subarray(place * pointNumbers, (place + 1) * pointNumbers));
        }
      }
      count += more;
      last.set(lastGiven);
    },
    finish() {
      if (count === 0) return [];
      const all = Array.from({ length: kept }, (_, place) => pointAt(points, place));
      if ((count - 1) % stride !== 0) all.push(pointAt(last, 0));
      if (all.length <= mostPoints) return all;
      const step = (all.length - 1) / (mostPoints - 1);
      return Array.from({ length: mostPoints }, (_, place) => all[Math.round(place * step)] as PathPoint);
    },
  };
  return builder;
}

function pointAt(points: Float64Array, place: number): PathPoint {
  const at = place * pointNumbers;
  const altitudeMetres = points[at + 2] as number;
  return {
    latitudeDegrees: points[at] as number,
    longitudeDegrees: points[at + 1] as number,
    ...(Number.isNaN(altitudeMetres) ? {} : { altitudeMetres }),
    atSeconds: (points[at + 3] as number) / 1e6,
  };
}
