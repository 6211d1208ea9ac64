/** Keys kept; a camera writes about twenty, more is no key list any more. */
const mostKeys = 48;
/** Characters kept of a key, and of its value. */
const mostKeyCharacters = 40;
const mostValueCharacters = 80;

/** Collects keys that fill no fact, each with the first value seen. */
export interface UnknownKeys {
  add(key: string, value: string): void;
  /** Keys in order of first appearance. */
  list(): Readonly<Record<string, string>>;
}

/** An empty collection; past its bounds further keys are let go and texts are shortened with an ellipsis. */
export function unknownKeys(): UnknownKeys {
  const kept = new Map<string, string>();
  return {
    add(key, value) {
      if (kept.size >= mostKeys || kept.has(key)) return;
      const name = ownText(shortened(key, mostKeyCharacters));
      if (!kept.has(name)) kept.set(name, ownText(shortened(value.trim(), mostValueCharacters)));
    },
    list: () => Object.fromEntries(kept),
  };
}

const shortened = (text: string, most: number): string => (text.length > most ? `${text.slice(0, most - 1)}…` : text);

/** A copy that does not keep the long text it was cut from in memory, as engines' slices do. */
export const ownText = (text: string): string => Buffer.from(text, "utf16le").toString("utf16le");
