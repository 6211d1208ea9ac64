/** Digits of one part of a number; longer ones are read carefully. */
const mostDigits = 9;

/** What may belong to a number, as bits of a grammar. */
export const grammar = {
  /** A minus before the digits. */
  minus: 1,
  /** A plus before the digits. */
  plus: 2,
  /** A full stop and digits behind it. */
  fraction: 4,
  /** The same with a comma. */
  comma: 8,
  /** A slash and a second number. */
  slash: 16,
} as const;

/**
 * Where a number of the grammar of these bits ends that begins at a byte, or -1 when none does. Parts of more than nine
 * digits are none.
 */
export function numberEnd(bytes: Uint8Array, from: number, to: number, bits: number): number {
  let at = from;
  const sign = bytes[at];
  if ((sign === 45 && (bits & 1) !== 0) || (sign === 43 && (bits & 2) !== 0)) at += 1;
  at = decimalEnd(bytes, at, to, bits);
  if (at < 0 || (bits & 16) === 0 || at >= to || bytes[at] !== 47) return at;
  const after = decimalEnd(bytes, at + 1, to, bits);
  return after < 0 ? at : after;
}

function decimalEnd(bytes: Uint8Array, from: number, to: number, bits: number): number {
  const whole = digitsEnd(bytes, from, to);
  if (whole === from || whole - from > mostDigits) return -1;
  if ((bits & 4) === 0 || whole >= to) return whole;
  const mark = bytes[whole];
  if (mark !== 46 && (mark !== 44 || (bits & 8) === 0)) return whole;
  const end = digitsEnd(bytes, whole + 1, to);
  if (end - whole - 1 > mostDigits) return -1;
  // A mark without digits behind it is no part of the number.
  return end === whole + 1 ? whole : end;
}

function digitsEnd(bytes: Uint8Array, from: number, to: number): number {
  let at = from;
  while (at < to && (bytes[at] as number) >= 48 && (bytes[at] as number) <= 57) at += 1;
  return at;
}

/**
 * The number at a stretch that `numberEnd` has found without plus and slash; NaN when it has more digits than `most` allows
 * before and behind its mark, or too many to be exact this way.
 */
export function numberAt(bytes: Uint8Array, from: number, to: number, most: readonly [number, number]): number {
  const isNegative = bytes[from] === 45;
  const first = isNegative ? from + 1 : from;
  let mantissa = 0;
  let mark = to;
  for (let at = first; at < to; at += 1) {
    const code = bytes[at] as number;
    if (code >= 48 && code <= 57) mantissa = mantissa * 10 + (code - 48);
    else mark = at;
  }
  const whole = mark - first;
  const fraction = Math.max(0, to - mark - 1);
  if (whole + fraction > 15 || whole > most[0] || fraction > most[1]) return Number.NaN;
  // Up to 15 digits both parts are exact, so the quotient is the nearest double.
  const size = mantissa / (powersOfTen[fraction] as number);
  return isNegative && size !== 0 ? -size : size;
}

const powersOfTen = Float64Array.from({ length: 16 }, (_, exponent) => 10 ** exponent);

/** A short stretch of ASCII as text. */
export function written(bytes: Uint8Array, from: number, to: number): string {
  let text = "";
  for (let at = from; at < to; at += 1) text += String.fromCharCode(bytes[at] as number);
  return text;
}

/** Bytes of a number whose text fits a key. */
const mostKeyBytes = 13;

/** A number that stands for the text of a number of up to 13 bytes and no other; -1 for a longer one. */
export function textKey(bytes: Uint8Array, from: number, to: number): number {
  if (to - from > mostKeyBytes) return -1;
  let key = 0;
  // Digits, signs, marks and slash have codes from 43 to 57: four bits each, none of them zero.
  for (let at = from; at < to; at += 1) key = key * 16 + ((bytes[at] as number) - 42);
  return key;
}
