/** Reads single bits from a codec header. Past the end it gives zeros and `ended` becomes true. */
export interface BitReader {
  /** An unsigned number of up to 32 bits. */
  bits(count: number): number;
  flag(): boolean;
  skip(count: number): void;
  /** Exp-Golomb, unsigned (ITU-T H.264, section 9.1). */
  unsigned(): number;
  /** Exp-Golomb, signed. */
  signed(): number;
  readonly ended: boolean;
}

/** A bit reader over bytes. */
export function bitReader(bytes: Uint8Array): BitReader {
  const length = bytes.length * 8;
  let at = 0;
  const bit = (): number => {
    const value = at < length ? ((bytes[at >> 3] as number) >> (7 - (at & 7))) & 1 : 0;
    at += 1;
    return value;
  };
  const bits = (count: number): number => {
    let value = 0;
    for (let left = count; left > 0; left -= 1) value = value * 2 + bit();
    return value;
  };
  const unsigned = (): number => {
    let zeros = 0;
    while (bit() === 0) {
      zeros += 1;
      // No codec header holds a number of more than 32 bits; a longer run of zeros is the end or noise.
      if (zeros > 32) {
        at = length + 1;
        return 0;
      }
    }
    return 2 ** zeros - 1 + bits(zeros);
  };
  return {
    bits,
    unsigned,
    flag: () => bit() === 1,
    skip: (count) => {
      at += count;
    },
    signed: () => {
      const value = unsigned();
      return value % 2 === 1 ? (value + 1) / 2 : value === 0 ? 0 : -(value / 2);
    },
    get ended() {
      return at > length;
    },
  };
}

/** A copy without the emulation prevention bytes of a NAL unit (each 3 after two zeros; ITU-T H.264, section 7.3.1). */
export function withoutEmulation(bytes: Uint8Array): Uint8Array {
  const clean = new Uint8Array(bytes.length);
  let length = 0;
  let zeros = 0;
  for (const byte of bytes) {
    if (zeros >= 2 && byte === 3) {
      zeros = 0;
      continue;
    }
    zeros = byte === 0 ? zeros + 1 : 0;
    clean[length] = byte;
    length += 1;
  }
  return clean.subarray(0, length);
}
