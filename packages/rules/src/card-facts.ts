import {
  type Absent,
  type Damaged,
  type Facts,
  type FactValues,
  type Known,
  type Series,
  seriesFacts,
  shortSeries,
} from "@goodgate/model";

/** Facts that are looked at over all clips of a card at once. */
const names = [
  "bitDepth",
  "cameraMaker",
  "cameraModel",
  "codec",
  "colourMode",
  "createdAt",
  "dataExtent",
  "durationSeconds",
  "fNumber",
  "focalLength35mm",
  "frameRate",
  "frames",
  "height",
  "iso",
  "location",
  "ndStops",
  "path",
  "scan",
  "serialNumber",
  "shutterSeconds",
  "timecode",
  "transfer",
  "whiteBalanceKelvin",
  "width",
] as const satisfies readonly (keyof FactValues)[];

/** A fact that is looked at over all clips of a card at once. */
export type CardFact = (typeof names)[number];

/**
 * The facts of one clip that the others are compared with. They are held for every clip of a card at the same time, so
 * they have no origins, and series are short (see `shortSeries`).
 */
export type CardFacts = { readonly [Name in CardFact]?: Known<FactValues[Name]> | Absent | Damaged };

/** Picks the facts of clips of one card; equal values of different clips are one object. */
export function cardFactsPicker(): (facts: Facts) => CardFacts {
  const shared = new Map<string, Known<unknown>>();
  const series: ReadonlySet<string> = new Set(seriesFacts);
  return (facts) => {
    const picked: Record<string, Known<unknown> | Absent | Damaged> = {};
    for (const name of names) {
      const reading = facts[name];
      if (reading === undefined) continue;
      if (reading.state !== "read") {
        picked[name] = reading;
        continue;
      }
      const value: unknown = reading.value;
      // Nothing but the place of the start is compared.
      if (name === "path") picked[name] = { state: "read", value: (value as FactValues["path"]).slice(0, 1) };
      else if (series.has(name)) picked[name] = { state: "read", value: shortSeries(value as Series<unknown>) };
      else if (typeof value !== "string" && typeof value !== "number") picked[name] = { state: "read", value };
      else {
        const key = `${name} ${value}`;
        let known = shared.get(key);
        if (known === undefined) shared.set(key, (known = { state: "read", value }));
        picked[name] = known;
      }
    }
    // Every name was picked from the fact of that name.
    return picked as CardFacts;
  };
}
