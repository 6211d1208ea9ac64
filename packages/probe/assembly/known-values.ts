// AssemblyScript, part of cue-kernel.ts: what texts of values were read as before.

/** What texts of values were read as: the text with zeros behind it, its reader, the value. */
const mostKnown: u32 = 4096;
const knownBytes: usize = 32;
const known: usize = memory.data(32 * 4096, 8);
let knownCount: u32 = 0;

/** Where the value of a text is remembered, or where it would be. */
function knownAt(reader: u32, low: u64, high: u64): usize {
  const mixed = (low ^ rotl<u64>(high, 29) ^ <u64>reader) * 0x9e3779b1;
  let at = <u32>((mixed ^ (mixed >> 32)) >> 8) % mostKnown;
  while (true) {
    const entry = known + <usize>at * knownBytes;
    const own = load<u32>(entry + 16);
    if (own == 0 || (own == reader && load<u64>(entry) == low && load<u64>(entry + 8) == high)) return entry;
    at = (at + 1) % mostKnown;
  }
}

let low: u64 = 0;
let high: u64 = 0;

/** Takes a text of at most 16 bytes apart; false for a longer one. */
function readKey(from: usize, to: usize): bool {
  if (to - from > 16) return false;
  low = 0;
  high = 0;
  for (let at = from; at < to; at += 1) {
    const shift = (<u64>(at - from)) << 3;
    if (shift < 64) low |= (<u64>load<u8>(at)) << shift;
    else high |= (<u64>load<u8>(at)) << (shift - 64);
  }
  return true;
}

/** The value of a text, or no number when it is not known. `reader` says which way to read it is meant, and is not zero. */
export function knownValue(reader: u32, from: usize, to: usize): f64 {
  if (!readKey(from, to)) return NaN;
  const entry = knownAt(reader, low, high);
  return load<u32>(entry + 16) == reader ? load<f64>(entry + 24) : NaN;
}

/** Remembers the value of a text; one that is too long is not. */
export function remember(reader: u32, from: usize, to: usize, value: f64): void {
  if (!readKey(from, to)) return;
  if (4 * knownCount > 3 * mostKnown) {
    memory.fill(known, 0, knownBytes * mostKnown);
    knownCount = 0;
  }
  const entry = knownAt(reader, low, high);
  if (load<u32>(entry + 16) == 0) knownCount += 1;
  store<u64>(entry, low);
  store<u64>(entry + 8, high);
  store<u32>(entry + 16, reader);
  store<f64>(entry + 24, value);
}
