/** One change of a file: at `at`, `remove` bytes go and `put` (hexadecimal) comes, `times` times over (once if left out). */
export interface Edit {
  readonly at: number;
  readonly remove: number;
  readonly put: string;
  readonly times?: number;
}

/** How a hostile file is made: a file of a sample and the changes to it, in order. Small enough to be kept as text. */
export interface Recipe {
  /** Folder of the sample and path of the file in it. */
  readonly sample: string;
  readonly file: string;
  readonly edits: readonly Edit[];
}

/** The bytes of a file after the changes; a change past the end of the file works at its end. */
export function applyEdits(bytes: Buffer, edits: readonly Edit[]): Buffer {
  let made = bytes;
  for (const { at, remove, put, times = 1 } of edits) {
    const from = Math.min(at, made.length);
    const piece = Buffer.from(put, "hex");
    const pieces = Buffer.alloc(piece.length * times, piece);
    made = Buffer.concat([made.subarray(0, from), pieces, made.subarray(from + remove)]);
  }
  return made;
}

/** Numbers from 0 to 1 that are the same for the same seed (mulberry32, public domain). */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/**
 * Leaves out changes, and shortens those that stay, for as long as `stillFails` says so. Gives the smallest list found
 * within `tries` attempts.
 */
export async function minimised(
  edits: readonly Edit[],
  stillFails: (edits: readonly Edit[]) => Promise<boolean>,
  tries = 200,
): Promise<readonly Edit[]> {
  let best = edits;
  let left = tries;
  for (let shrunk = true; shrunk && left > 0;) {
    shrunk = false;
    for (const candidate of smaller(best)) {
      if ((left -= 1) < 0) break;
      if (!(await stillFails(candidate))) continue;
      best = candidate;
      shrunk = true;
      break;
    }
  }
  return best;
}

function* smaller(edits: readonly Edit[]): Generator<readonly Edit[]> {
  for (let place = 0; place < edits.length; place += 1) yield edits.toSpliced(place, 1);
  for (const [place, edit] of edits.entries()) {
    if (edit.times !== undefined && edit.times > 1)
      yield edits.with(place, { ...edit, times: Math.floor(edit.times / 2) });
    const half = Math.floor(edit.put.length / 4) * 2;
    if (edit.put.length > 2) {
      yield edits.with(place, { ...edit, put: edit.put.slice(0, half) });
      yield edits.with(place, { ...edit, put: edit.put.slice(half) });
    }
    if (edit.remove > 1) yield edits.with(place, { ...edit, remove: Math.floor(edit.remove / 2) });
  }
}
