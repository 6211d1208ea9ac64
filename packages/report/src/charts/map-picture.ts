import type { ClipReport, Report } from "../schema.ts";
import { type Mark, type Picture, pictureWidth, polyline, type Shape, shapes, strokes, text } from "./picture.ts";
import { factParts, grouped, numberFrom, readFact } from "./values.ts";

type Place = readonly [latitude: number, longitude: number];

const size = 250;
const margin = 22;
/** Paths drawn; more would be a tangle. */
const mostPaths = 60;
/** Metres of one degree of latitude, near enough for a sketch: the mean earth radius of 6371 km. */
const metresPerDegree = 111_195;

/** A sketch of where the clips were recorded, drawn from their own records without any map; undefined unless there are two places. */
export function mapPicture(report: Pick<Report, "clips" | "audit">): Picture | undefined {
  if (!report.audit.positions) return undefined;
  const flown = report.clips.flatMap((clip) => {
    const path = pathOf(clip);
    const first = placeOf(factParts(clip, "location")) ?? path[0];
    return first === undefined ? [] : [{ shape: clip.verdict as Shape, first, path }];
  });
  const all = flown.flatMap(({ first, path }) => [first, ...path]);
  const [start] = all;
  // One place alone is not worth a sketch.
  if (start === undefined || !all.some((place) => place[0] !== start[0] || place[1] !== start[1])) return undefined;
  // Longitudes are counted from the first place, so that a card flown across the date line stays together.
  const east = ([, longitude]: Place): number => ((longitude - start[1] + 540) % 360) - 180;
  let south = Infinity;
  let north = -Infinity;
  let leftmost = Infinity;
  let rightmost = -Infinity;
  for (const place of all) {
    south = Math.min(south, place[0]);
    north = Math.max(north, place[0]);
    leftmost = Math.min(leftmost, east(place));
    rightmost = Math.max(rightmost, east(place));
  }
  const shrink = Math.max(0.01, Math.cos((((south + north) / 2) * Math.PI) / 180));
  const wideMetres = (rightmost - leftmost) * shrink * metresPerDegree;
  const highMetres = (north - south) * metresPerDegree;
  // A single hover would fill the sheet with noise: it shows at least fifty metres.
  const scale = Math.min(
    (pictureWidth - 2 * margin) / Math.max(50, wideMetres),
    (size - 2 * margin) / Math.max(50, highMetres),
  );
  const middleX = (leftmost + rightmost) / 2;
  const middleY = (south + north) / 2;
  const at = (place: Place): readonly [number, number] => [
    pictureWidth / 2 + (east(place) - middleX) * shrink * metresPerDegree * scale,
    size / 2 - (place[0] - middleY) * metresPerDegree * scale,
  ];
  const marks: Mark[] = flown
    .filter(({ path }) => path.length > 1)
    .slice(0, mostPaths)
    .map(({ path }) => polyline("trail", path.map(at)));
  for (const shape of ["clean", "workable", "unknown", "reshoot"] as const) {
    const places = flown.filter((of) => of.shape === shape).map(({ first }) => at(first));
    if (places.length > 0) marks.push(shapes("at", shape, places, 4));
  }
  const bar = niceLength(pictureWidth / 4 / scale);
  const barWidth = bar * scale;
  const y = size - 8;
  marks.push(
    strokes("axis", [
      [10, y, 10 + barWidth, y],
      [10, y - 5, 10, y],
      [10 + barWidth, y - 5, 10 + barWidth, y],
    ]),
    text("num", 16 + barWidth, y + 1, bar >= 1000 ? `${bar / 1000} km` : `${bar} m`),
    strokes("axis", [
      [pictureWidth - 16, 34, pictureWidth - 16, 12],
      [pictureWidth - 16, 12, pictureWidth - 20, 19],
      [pictureWidth - 16, 12, pictureWidth - 12, 19],
    ]),
    text("num mid", pictureWidth - 16, 48, "N"),
  );
  const spread = Math.round(Math.max(wideMetres, highMetres));
  return {
    id: "map",
    title: "Where the clips were recorded",
    says: `${grouped(flown.length)} of ${grouped(report.clips.length)} clips have a position: they lie within ${
      spread >= 1000 ? `${(spread / 1000).toFixed(1)} km` : `${spread} m`
    }. A sketch from the clips' own records, without a map.`,
    width: pictureWidth,
    height: size,
    marks,
  };
}

/** The largest of 1, 2, 5 × 10^n metres not above `metres`. */
function niceLength(metres: number): number {
  const ten = 10 ** Math.floor(Math.log10(Math.max(1, metres)));
  return [5, 2, 1].map((of) => of * ten).find((length) => length <= metres) ?? ten;
}

function placeOf(parts: Readonly<Record<string, unknown>> | undefined): Place | undefined {
  const latitude = numberFrom(parts?.["latitudeDegrees"]);
  const longitude = numberFrom(parts?.["longitudeDegrees"]);
  if (latitude === undefined || longitude === undefined) return undefined;
  // Zero, zero is what a receiver writes before it has a fix.
  return Math.abs(latitude) > 90 || Math.abs(longitude) > 180 || (latitude === 0 && longitude === 0)
    ? undefined
    : [latitude, longitude];
}

function pathOf(clip: ClipReport): readonly Place[] {
  const value = readFact(clip, "path")?.value;
  if (!Array.isArray(value)) return [];
  return value.flatMap((entry) => {
    const place = typeof entry === "object" && entry !== null ? placeOf(entry as Record<string, unknown>) : undefined;
    return place === undefined ? [] : [place];
  });
}
