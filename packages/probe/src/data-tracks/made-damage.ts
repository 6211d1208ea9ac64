import { rate } from "@goodgate/model";
import { readDataTrack } from "../telemetry/data-track.ts";
import { madeTrack } from "../telemetry/made-track.ts";

/** Flips tried per sample. */
const flips = 400;

/**
 * Reads a track with its samples cut at every length and with seeded single-byte changes, and fails when a reading throws
 * or gives a number that is none.
 */
export async function neverThrows(
  entry: string,
  samples: readonly Uint8Array[],
  entryBytes?: Uint8Array,
): Promise<void> {
  const read = async (bytes: readonly Uint8Array[]): Promise<void> => {
    const track = madeTrack(entry, bytes, entryBytes === undefined ? {} : { entryBytes });
    const facts = await readDataTrack(track, { microseconds: 2_000_000, frameRate: rate(25) }, "a.mp4");
    const text = JSON.stringify(facts, (_, value: unknown) => {
      if (typeof value === "number" && !Number.isFinite(value)) throw new Error(`${value} among the facts`);
      return typeof value === "bigint" ? String(value) : value;
    });
    if (text.length > 100_000) throw new Error("facts of unbounded size");
  };
  const random = seeded(20_310_405);
  for (const sample of samples) {
    for (let length = 0; length < sample.length; length += 1) await read([sample.subarray(0, length)]);
    for (let flip = 0; flip < flips; flip += 1) {
      const bytes = Uint8Array.from(sample);
      const at = Math.floor(random() * bytes.length);
      bytes[at] = Math.floor(random() * 256);
      await read([bytes]);
    }
  }
}

/** Numbers from 0 to 1 that are the same in every run (the mulberry32 generator). */
export function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}
