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

/** The same inside words written together, such as `homelat`, `latlon` or `GPSDest`. */
const placeParts =
  /gps|geo|coord|location|latitude|longitude|latlon|latlng|lonlat|(?:lat|lon|lng|pos)$|^(?:lat|lon|lng|pos)/;

/** A position in the form of ISO 6709: `+27.5916+086.5640+8850/`. */
const isoPosition = /[+-]\d{2,6}(?:\.\d+)?[+-]\d{3,7}(?:\.\d+)?/;
/** Two numbers with at least three decimals side by side: a pair of coordinates to 100 m or finer. */
const decimalPair = /[+-]?\d{1,3}\.\d{3,}[^\d.]{1,12}\d{1,3}\.\d{3,}/;

/** One number as sharp as a metre: a latitude alone narrows a place to a line, and its pair is seldom far. */
const sharpNumber = /(?<!\d)\d{1,3}\.\d{5,}/;
/** Degrees and minutes, with their signs or as words: `47°22'N`, `47 deg 22`. */
const degrees = /\d\s*(?:°|º|deg\b)/i;
/** A sentence of a satellite receiver (NMEA 0183: talker of two letters, type of three). */
const receiverSentence = /\$(?:G[A-Z]|BD)[A-Z]{3},/;

/** Whether a key or its text gives away where the clip was recorded. */
export function tellsPosition(key: string, text: string): boolean {
  const words = key
    .replace(/([a-z])([A-Z])/g, "$1 $2")
    .toLowerCase()
    .split(/[^a-z]+/);
  if (words.some((word) => placeWords.has(word) || placeParts.test(word))) return true;
  // A hostile text may be long; a position stands near its start.
  const start = text.slice(0, 500);
  return [isoPosition, decimalPair, sharpNumber, degrees, receiverSentence].some((form) => form.test(start));
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
