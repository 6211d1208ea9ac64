// AssemblyScript, part of picture-kernel.ts: the transform of a picture.

/** Tables of one length, made by src/picture-kernel.ts as `fft.js` makes them. */
@unmanaged
export class Tables {
  length: i32;
  /** Bits of the first step. */
  bits: i32;
  /** Cosine and minus sine of every half turn's parts, in turn. */
  turns: usize;
  /** Places of the first step, bits in reverse. */
  places: usize;
}

/**
 * Transforms a complex picture in place; rows first, then columns. Radix 4 with a first step of 2 or 4, as in `fft.js`
 * (MIT, Fedor Indutny), step for step, so that both give the same to the last digit; a term is one vector of two.
 */
export function transform(terms: usize, across: Tables, down: Tables, room: usize, inverse: bool): void {
  const width = across.length;
  const height = down.length;
  const stride = (<usize>width) << 4;
  for (let y = 0; y < height; y += 1) {
    const row = terms + <usize>y * stride;
    one(row, room, across, inverse);
    memory.copy(row, room, stride);
  }
  const out = room + ((<usize>height) << 4);
  for (let x = 0; x < width; x += 1) {
    const column = terms + ((<usize>x) << 4);
    for (let y = 0; y < height; y += 1) {
      v128.store(room + ((<usize>y) << 4), v128.load(column + <usize>y * stride));
    }
    one(room, out, down, inverse);
    for (let y = 0; y < height; y += 1) {
      v128.store(column + <usize>y * stride, v128.load(out + ((<usize>y) << 4)));
    }
  }
}

/** Transforms one line of complex terms from `data` to `out`. */
export function transformLine(data: usize, out: usize, tables: Tables): void {
  one(data, out, tables, false);
}

/** The product of a term with a turn. */
function turned(term: v128, turn: usize, flip: v128): v128 {
  const swapped = v128.shuffle<f64>(term, term, 1, 0);
  const cosine = f64x2.splat(load<f64>(turn));
  const sine = f64x2.mul(f64x2.splat(load<f64>(turn, 8)), flip);
  return f64x2.add(f64x2.mul(term, cosine), f64x2.mul(swapped, sine));
}

function one(data: usize, out: usize, tables: Tables, inverse: bool): void {
  const size = (<usize>tables.length) << 4;
  const sign: f64 = inverse ? -1 : 1;
  /** Minus and plus the direction: what the imaginary part of a turn is multiplied with. */
  const flip = f64x2.replace_lane(f64x2.splat(sign), 0, -sign);
  /** Turns a swapped term by a quarter. */
  const quarter = f64x2.replace_lane(f64x2.splat(-sign), 0, sign);
  // Steps and lengths are bytes from here on: a number in `fft.js` is half a term.
  let step = (<usize>1) << (tables.bits + 3);
  const places = tables.places;
  const first = (size / step) << 4;
  if (first == 32) {
    for (let at: usize = 0, t: usize = 0; at < size; at += first, t += 1) {
      const from = data + ((<usize>load<i32>(places + (t << 2))) << 3);
      const even = v128.load(from);
      const odd = v128.load(from + step);
      v128.store(out + at, f64x2.add(even, odd));
      v128.store(out + at + 16, f64x2.sub(even, odd));
    }
  } else {
    for (let at: usize = 0, t: usize = 0; at < size; at += first, t += 1) {
      const from = data + ((<usize>load<i32>(places + (t << 2))) << 3);
      four(
        v128.load(from),
        v128.load(from + step),
        v128.load(from + 2 * step),
        v128.load(from + 3 * step),
        quarter,
        out + at,
        16,
      );
    }
  }
  for (step >>= 2; step >= 16; step >>= 2) {
    const length = (size / step) << 4;
    const part = length >> 2;
    for (let begin = out; begin < out + size; begin += length) {
      let k = tables.turns;
      let k2 = k;
      let k3 = k;
      for (let at = begin; at < begin + part; at += 16) {
        const b = turned(v128.load(at + part), k, flip);
        const c = turned(v128.load(at + 2 * part), k2, flip);
        const d = turned(v128.load(at + 3 * part), k3, flip);
        four(v128.load(at), b, c, d, quarter, at, part);
        k += step;
        k2 += 2 * step;
        k3 += 3 * step;
      }
    }
  }
  if (!inverse) return;
  const count = f64x2.splat(<f64>tables.length);
  for (let at = out; at < out + size; at += 16) v128.store(at, f64x2.div(v128.load(at), count));
}

/** Joins four terms and stores them `apart` bytes apart. */
function four(a: v128, b: v128, c: v128, d: v128, quarter: v128, to: usize, apart: usize): void {
  const t0 = f64x2.add(a, c);
  const t1 = f64x2.sub(a, c);
  const t2 = f64x2.add(b, d);
  const off = f64x2.sub(b, d);
  const t3 = f64x2.mul(v128.shuffle<f64>(off, off, 1, 0), quarter);
  v128.store(to, f64x2.add(t0, t2));
  v128.store(to + apart, f64x2.add(t1, t3));
  v128.store(to + 2 * apart, f64x2.sub(t0, t2));
  v128.store(to + 3 * apart, f64x2.sub(t1, t3));
}
