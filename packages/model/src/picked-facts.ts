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
  const shared = new Map(names.map((name) => [name, new Map<string | number, Known<unknown>>()]));
  const once = (name: Name, key: string | number, value: unknown): Known<unknown> => {
    const ofName = shared.get(name);
    const known = ofName?.get(key) ?? { state: "read", value };
    ofName?.set(key, known);
    return known;
  };
  return (facts) => {
    // Made of entries: an object that grows key by key takes many times the memory.
    const entries: [Name, Known<unknown> | Absent | Damaged][] = [];
    const put = (name: Name, picked: Known<unknown> | Absent | Damaged): void => void entries.push([name, picked]);
    for (const name of names) {
      const reading = facts[name];
      if (reading === undefined) continue;
      const value: unknown = reading.state === "read" ? reading.value : undefined;
      if (reading.state !== "read") put(name, reading);
      else if (typeof value === "string" || typeof value === "number") put(name, once(name, value, value));
      else if (isRatio(value)) put(name, once(name, ratioText(value), value));
      else if (isSeries(name)) put(name, { state: "read", value: shortSeries(value as Series<unknown>) });
      else if (name === "path") put(name, { state: "read", value: (value as FactValues["path"]).slice(0, 1) });
      else put(name, reading);
    }
    // Every name was picked from the fact of that name.
    return Object.fromEntries(entries) as PickedFacts<Name>;
  };
}

const series: ReadonlySet<string> = new Set(seriesFacts);
const isSeries = (name: string): boolean => series.has(name);
const isRatio = (value: unknown): value is Ratio =>
  typeof value === "object" && value !== null && "numerator" in value && "denominator" in value;
