/** Gives for a value the first equal one of its kind; a kind with many different values is left alone. */
export type Sharer = <T extends object>(kind: string, value: T) => T;

/** Different values of one kind that are remembered: what differs from clip to clip is not worth looking for. */
const mostDifferent = 48;

/** Starts without any value. Values must be plain, as JSON holds them, and nobody may change them afterwards. */
export function sharer(): Sharer {
  const kinds = new Map<string, Map<string, object> | undefined>();
  return <T extends object>(kind: string, value: T): T => {
    if (!kinds.has(kind)) kinds.set(kind, new Map());
    const known = kinds.get(kind);
    if (known === undefined) return value;
    const key = JSON.stringify(value);
    const equal = known.get(key);
    // It has the same text as a value of the same kind.
    if (equal !== undefined) return equal as T;
    known.set(key, value);
    if (known.size > mostDifferent) kinds.set(kind, undefined);
    return value;
  };
}
