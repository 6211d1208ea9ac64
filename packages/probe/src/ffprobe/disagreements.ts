import {
  compare,
  type Disagreement,
  distance,
  equal,
  type FactName,
  type Facts,
  invert,
  nearestStandardRate,
  ratioText,
  type Reading,
  type Rate,
  type Ratio,
  type Sound,
  type Timecode,
  valueOf,
} from "@goodgate/model";

/**
 * Facts that two readers of one file state differently. Only what both state is compared: silence is no contradiction.
 * Lengths may differ by a frame; the rate of a clip with uneven intervals is not compared, for any number is right.
 */
export function disagreements(ours: Facts, theirs: Facts, reader: string): readonly Disagreement[] {
  const found: Disagreement[] = [];
  const differ = <T>(name: FactName, same: (a: T, b: T) => boolean, text: (value: T) => string): void => {
    const [a, b] = [valueOf(ours[name] as Reading<T> | undefined), valueOf(theirs[name] as Reading<T> | undefined)];
    if (a === undefined || b === undefined || same(a, b)) return;
    found.push({ fact: name, ours: text(a), theirs: text(b), reader });
  };
  if (valueOf(ours.timing)?.kind !== "variable") differ<Rate>("frameRate", sameRate, ratioText);
  differ<number>("frames", (a, b) => a === b, plain);
  const rate = valueOf(ours.frameRate);
  const slack = rate === undefined ? undefined : invert(rate);
  differ<Ratio>(
    "durationSeconds",
    (a, b) => (slack === undefined ? equal(a, b) : compare(distance(a, b), slack) <= 0),
    ratioText,
  );
  for (const name of ["width", "height", "rotationDegrees", "bitDepth"] as const) {
    differ<number>(name, (a, b) => a === b, plain);
  }
  for (const name of ["codec", "chroma", "scan", "primaries", "transfer", "matrix"] as const) {
    differ<string>(name, (a, b) => a === b, plain);
  }
  differ<boolean>("fullRange", (a, b) => a === b, plain);
  differ<Ratio>("pixelAspect", equal, ratioText);
  differ<Sound>(
    "sound",
    (a, b) => a.codec === b.codec && a.channels === b.channels && a.sampleRateHertz === b.sampleRateHertz,
    ({ codec, channels, sampleRateHertz }) => `${codec}, ${channels} channels, ${sampleRateHertz} Hz`,
  );
  differ<Timecode>(
    "timecode",
    (a, b) => a.startFrame === b.startFrame && a.dropFrame === b.dropFrame,
    (code) => code.start,
  );
  return found;
}

/** A mean over a coarse clock is the standard rate with its rounding, as everywhere where two sources state one rate. */
const sameRate = (a: Rate, b: Rate): boolean => equal(nearestStandardRate(a) ?? a, nearestStandardRate(b) ?? b);

const plain = (value: number | string | boolean): string => String(value);
