import type { FactValues } from "@goodgate/model";

/** Points of a path that are kept; enough for a map in a report. */
const mostPoints = 512;

type PathPoint = FactValues["path"][number];

/** Collects a flown path in bounded memory. */
export interface PathBuilder {
  add(latitudeDegrees: number, longitudeDegrees: number, altitudeMetres: number | undefined, atSeconds: number): void;
  /** Up to 512 points evenly thinned, the first and the last always among them. */
  finish(): readonly PathPoint[];
}

/** An empty path. Doubles its stride whenever twice the wanted points have gathered. */
export function pathBuilder(): PathBuilder {
  let points: PathPoint[] = [];
  let stride = 1;
  let count = 0;
  // One object for the numbers: as variables of their own each change of them would take new memory.
  const last = { latitude: 0, longitude: 0, altitude: 0, hasAltitude: false, at: 0 };
  const lastPoint = (): PathPoint => ({
    latitudeDegrees: last.latitude,
    longitudeDegrees: last.longitude,
    ...(last.hasAltitude ? { altitudeMetres: last.altitude } : {}),
    atSeconds: last.at,
  });
  return {
    add(latitudeDegrees, longitudeDegrees, altitudeMetres, atSeconds) {
      last.latitude = latitudeDegrees;
      last.longitude = longitudeDegrees;
      last.hasAltitude = altitudeMetres !== undefined;
      last.altitude = altitudeMetres ?? 0;
      last.at = atSeconds;
      if (count % stride === 0) {
        points.push(lastPoint());
        if (points.length >= 2 * mostPoints) {
          points = points.filter((_, place) => place % 2 === 0);
          stride *= 2;
        }
      }
      count += 1;
    },
    finish() {
      if (count === 0) return [];
      const all = (count - 1) % stride === 0 ? points : [...points, lastPoint()];
      if (all.length <= mostPoints) return all;
      const step = (all.length - 1) / (mostPoints - 1);
      return Array.from({ length: mostPoints }, (_, place) => all[Math.round(place * step)] as PathPoint);
    },
  };
}
