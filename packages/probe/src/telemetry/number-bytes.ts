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

/** A short stretch of ASCII as text. */
export function written(bytes: Uint8Array, from: number, to: number): string {
  let text = "";
  for (let at = from; at < to; at += 1) text += String.fromCharCode(bytes[at] as number);
  return text;
}
