import type { FactName, Facts, FactValues } from "./facts.ts";
import { seriesFacts } from "./facts.ts";
import { type Ratio, ratioText } from "./ratio.ts";
import type { Absent, Damaged, Known } from "./reading.ts";
import { type Series, shortSeries } from "./series.ts";

/** Some facts of a clip, held for all clips of a card at the same time: without origins, series short. */
export type PickedFacts<Name extends FactName> = {
  readonly [Each in Name]?: Known<FactValues[Each]> | Absent | Damaged;
};

/**
 * Picks the named facts of clips of one card. Series lose their runs (see `shortSeries`), a path keeps its first point,
 * and equal numbers, texts and fractions of different clips are one object.
 */
export function factsPicker<Name extends FactName>(names: readonly Name[]): (facts: Facts) => PickedFacts<Name> {
  const shared = new Map<string, Known<unknown>>();
  const once = (key: string, value: unknown): Known<unknown> => {
    let known = shared.get(key);
    if (known === undefined) shared.set(key, (known = { state: "read", value }));
    return known;
  };
  return (facts) => {
    const picked: Record<string, Known<unknown> | Absent | Damaged> = {};
    for (const name of names) {
      const reading = facts[name];
      if (reading === undefined) continue;
      const value: unknown = reading.state === "read" ? reading.value : undefined;
      if (reading.state !== "read") picked[name] = reading;
      else if (typeof value === "string" || typeof value === "number") picked[name] = once(`${name} ${value}`, value);
      else if (isRatio(value)) picked[name] = once(`${name} ${ratioText(value)}`, value);
      else if (isSeries(name)) picked[name] = { state: "read", value: shortSeries(value as Series<unknown>) };
      else if (name === "path") picked[name] = { state: "read", value: (value as FactValues["path"]).slice(0, 1) };
      else picked[name] = reading;
    }
    // Every name was picked from the fact of that name.
    return picked as PickedFacts<Name>;
  };
}

const series: ReadonlySet<string> = new Set(seriesFacts);
const isSeries = (name: string): boolean => series.has(name);
const isRatio = (value: unknown): value is Ratio =>
  typeof value === "object" && value !== null && "numerator" in value && "denominator" in value;
