import type { FactName, Facts, FactValues } from "./facts.ts";
import { seriesFacts } from "./facts.ts";
import { type Ratio, ratioText } from "./ratio.ts";
import type { Absent, Damaged, Known } from "./reading.ts";
import { type Series, shortSeries } from "./series.ts";

/** Some facts of a clip, held for all clips of a card at the same time: without origins, series short. */
export type PickedFacts<Name extends FactName> = {
  readonly [Each in Name]?: Known<FactValues[Each]> | Absent | Damaged | undefined;
};

/**
 * Picks the named facts of clips of one card. Series lose their runs (see `shortSeries`), a path keeps its first point,
 * and equal numbers, texts and fractions of different clips are one object.
 */
export function factsPicker<Name extends FactName>(names: readonly Name[]): (facts: Facts) => PickedFacts<Name> {
  const shared = new Map(names.map((name) => [name, new Map<string | number, Known<unknown>>()]));
  const once = (name: Name, key: string | number, value: unknown): Known<unknown> => {
    const ofName = shared.get(name);
    const known = ofName?.get(key) ?? { state: "read", value };
    ofName?.set(key, known);
    return known;
  };
  const pickedOf = (name: Name, reading: Known<unknown>): Known<unknown> => {
    const { value } = reading;
    if (typeof value === "string" || typeof value === "number") return once(name, value, value);
    if (isRatio(value)) return once(name, ratioText(value), value);
    if (isSeries(name)) return { state: "read", value: shortSeries(value as Series<unknown>) };
    if (name === "path") return { state: "read", value: (value as FactValues["path"]).slice(0, 1) };
    return reading;
  };
  // All of one shape, that of this object: one that grows key by key takes many times the memory.
  const empty = Object.fromEntries(names.map((name) => [name, undefined])) as PickedFacts<Name>;
  return (facts) => {
    const picked: { [Each in Name]?: unknown } = { ...empty };
    for (const name of names) {
      const reading = facts[name];
      if (reading === undefined) continue;
      if (reading.state !== "read") picked[name] = reading;
      else picked[name] = pickedOf(name, reading);
    }
    // Every name was picked from the fact of that name.
    return picked as PickedFacts<Name>;
  };
}

const series: ReadonlySet<string> = new Set(seriesFacts);
const isSeries = (name: string): boolean => series.has(name);
const isRatio = (value: unknown): value is Ratio =>
  typeof value === "object" && value !== null && "numerator" in value && "denominator" in value;
