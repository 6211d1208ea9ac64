// AssemblyScript, part of cue-kernel.ts: bytes of a text, and the numbers and times written in them.

const powersOfTen: usize = memory.data<f64>([
  1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
]);

export function i32At(list: usize, at: i32): i32 {
  return load<i32>(list + ((<usize>at) << 2));
}

export function isDigit(code: u32): bool {
  return code - 48 <= 9;
}

/** How many bytes at two places are the same, of at most so many. */
export function same(a: usize, b: usize, most: usize): usize {
  let count: usize = 0;
  while (count + 8 <= most) {
    const differ = load<u64>(a + count) ^ load<u64>(b + count);
    if (differ != 0) return count + (<usize>ctz(differ) >> 3);
    count += 8;
  }
  while (count < most && load<u8>(a + count) == load<u8>(b + count)) count += 1;
  return count;
}

/** `numberEnd` of src/telemetry/number-bytes.ts, which says what the bits of a grammar are; 0 when no number begins. */
export function numberEnd(from: usize, limit: usize, bits: u32): usize {
  let at = from;
  if (at < limit) {
    const sign = <u32>load<u8>(at);
    if ((sign == 45 && (bits & 1) != 0) || (sign == 43 && (bits & 2) != 0)) at += 1;
  }
  at = decimalEnd(at, limit, bits);
  if (at == 0 || (bits & 16) == 0 || at >= limit || load<u8>(at) != 47) return at;
  const after = decimalEnd(at + 1, limit, bits);
  return after == 0 ? at : after;
}

function decimalEnd(from: usize, limit: usize, bits: u32): usize {
  const whole = digitsEnd(from, limit);
  if (whole == from || whole - from > 9) return 0;
  if ((bits & 4) == 0 || whole >= limit) return whole;
  const mark = <u32>load<u8>(whole);
  if (mark != 46 && (mark != 44 || (bits & 8) == 0)) return whole;
  const last = digitsEnd(whole + 1, limit);
  if (last - whole - 1 > 9) return 0;
  return last == whole + 1 ? whole : last;
}

function digitsEnd(from: usize, limit: usize): usize {
  let at = from;
  while (at < limit && isDigit(load<u8>(at))) at += 1;
  return at;
}

/** The number at a stretch without plus and slash; no number when it has too many digits. */
export function numberAt(from: usize, to: usize, mostWhole: i32, mostFraction: i32): f64 {
  const minus = load<u8>(from) == 45;
  let at = minus ? from + 1 : from;
  let mantissa: u64 = 0;
  let whole: i32 = 0;
  let fraction: i32 = 0;
  let behind = false;
  for (; at < to; at += 1) {
    const code = <u32>load<u8>(at);
    if (isDigit(code)) {
      mantissa = mantissa * 10 + (code - 48);
      if (behind) fraction += 1;
      else whole += 1;
    } else behind = true;
  }
  if (whole + fraction > 15 || whole > mostWhole || fraction > mostFraction) return NaN;
  // Up to 15 digits both parts are exact, so the quotient is the nearest double.
  const size = <f64>mantissa / load<f64>(powersOfTen + ((<usize>fraction) << 3));
  return minus && size != 0 ? -size : size;
}

/** `parseCueTime` of src/telemetry/cue-time.ts. */
export function cueTime(from: usize, to: usize): f64 {
  let at = from;
  let total: u32 = 0;
  let parts: i32 = 0;
  while (parts < 3) {
    let value: u32 = 0;
    const began = at;
    for (; at < to && isDigit(load<u8>(at)); at += 1) value = value * 10 + (<u32>load<u8>(at) - 48);
    if (at == began || at - began > 4) return -1;
    total = total * 60 + value;
    parts += 1;
    if (at >= to || load<u8>(at) != 58) break;
    at += 1;
  }
  if (parts < 2 || total >= 360000) return -1;
  let fraction: u32 = 0;
  if (at < to) {
    const mark = <u32>load<u8>(at);
    if (mark != 44 && mark != 46) return -1;
    at += 1;
    const count = <i32>(to - at);
    if (count == 0 || count > 6) return -1;
    for (; at < to; at += 1) {
      if (!isDigit(load<u8>(at))) return -1;
      fraction = fraction * 10 + (<u32>load<u8>(at) - 48);
    }
    for (let unit = count; unit < 6; unit += 1) fraction *= 10;
  }
  return <f64>total * 1e6 + <f64>fraction;
}

export function digitsAt(from: usize, count: i32): u32 {
  let value: u32 = 0;
  for (let at: i32 = 0; at < count; at += 1) value = value * 10 + (<u32>load<u8>(from + at) - 48);
  return value;
}
