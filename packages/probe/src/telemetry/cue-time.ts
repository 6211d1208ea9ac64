/** Furthest a cue time may lie: nothing flown lasts a hundred hours. */
const mostHours = 100;

/**
 * Reads a cue time, `00:01:02,345`, `01:02.345` or `0:01:02.34`, from a stretch of bytes; microseconds, or -1 when it is
 * none. Comma and full stop are both taken, whatever the file format asks for.
 */
export function parseCueTime(bytes: Uint8Array, from: number, to: number): number {
  let at = from;
  let total = 0;
  let fields = 0;
  while (fields < 3) {
    let value = 0;
    const began = at;
    for (; at < to; at += 1) {
      const code = bytes[at] as number;
      if (code < 48 || code > 57) break;
      value = value * 10 + (code - 48);
    }
    if (at === began || at - began > 4) return -1;
    total = total * 60 + value;
    fields += 1;
    if (at >= to || bytes[at] !== 58) break;
    at += 1;
  }
  if (fields < 2 || total >= mostHours * 3600) return -1;
  let fraction = 0;
  if (at < to) {
    const mark = bytes[at];
    if (mark !== 44 && mark !== 46) return -1;
    at += 1;
    const began = at;
    if (to === began || to - began > 6) return -1;
    for (; at < to; at += 1) {
      const code = bytes[at] as number;
      if (code < 48 || code > 57) return -1;
      fraction = fraction * 10 + (code - 48);
    }
    fraction *= microseconds[to - began] as number;
  }
  return total * 1_000_000 + fraction;
}

/** Microseconds of one unit of the last digit, by how many digits stand behind the mark. */
const microseconds = [0, 100_000, 10_000, 1000, 100, 10, 1] as const;
