/** Words in a key that name a place on earth; compared with the whole words a key is made of. */
const placeWords = new Set([
  "coord",
  "coordinate",
  "coordinates",
  "coords",
  "geo",
  "geotag",
  "gps",
  "home",
  "homepoint",
  "lat",
  "latitude",
  "lng",
  "location",
  "lon",
  "long",
  "longitude",
  "place",
  "position",
  "xyz",
]);

/** A position in the form of ISO 6709: `+27.5916+086.5640+8850/`. */
const isoPosition = /[+-]\d{2,6}(?:\.\d+)?[+-]\d{3,7}(?:\.\d+)?/;
/** Two numbers with at least three decimals side by side: a pair of coordinates to 100 m or finer. */
const decimalPair = /[+-]?\d{1,3}\.\d{3,}[^\d.]{1,12}\d{1,3}\.\d{3,}/;

/** Whether a key or its text gives away where the clip was recorded. */
export function tellsPosition(key: string, text: string): boolean {
  const words = key
    .replace(/([a-z])([A-Z])/g, "$1 $2")
    .toLowerCase()
    .split(/[^a-z]+/);
  if (words.some((word) => placeWords.has(word) || word.startsWith("gps"))) return true;
  // A hostile text may be long; a position stands near its start.
  const start = text.slice(0, 500);
  return isoPosition.test(start) || decimalPair.test(start);
}

/** Entries without those that tell a position, and how many were left out. */
export function withoutPositions(entries: Readonly<Record<string, string>>): {
  readonly kept: Readonly<Record<string, string>>;
  readonly left: number;
} {
  const all = Object.entries(entries);
  const kept = all.filter(([key, text]) => !tellsPosition(key, String(text)));
  return { kept: Object.fromEntries(kept), left: all.length - kept.length };
}
