/** Different numbers that are kept as they are. */
export const mostExact = 4096;
/** Bins kept; past it they become twice as wide. */
export const mostBins = 16_384;
/** Bits behind the first of a number that tell bins apart: neighbours differ by less than a thousandth. */
const binBits = 10;

/** Bits of a number; the upper word holds sign, size and its first 20 digits. */
const double = new Float64Array(1);
const words = new Int32Array(double.buffer);
const upper = new Uint8Array(Uint32Array.of(1).buffer)[0] === 1 ? 1 : 0;

/**
 * Tells different numbers apart in bounded memory. Up to 4,096 different numbers each has a bin of its own. When there are
 * more, numbers that agree in sign, size and the first 10 binary digits behind the leading one share a bin: each then stands
 * for numbers less than 0.1 % of it away. When 16,384 such bins do not do (numbers spread over sixteen powers of two and
 * more), they are joined in pairs, which doubles that share. A class, so that the engine knows its functions again from
 * series to series.
 */
export class NumberBins {
  /** The first number of each bin. */
  firsts: number[] = [];
  /** Time the numbers of each bin were held. */
  held: number[] = [];
  private readonly moved: (indexes: Uint32Array) => void;
  /** Bins by what tells them apart: the number itself or, once it is set, the bits of its upper word under the mask. */
  private index = new Map<number, number>();
  private mask = 0;

  /** `moved` is called with the new index of every old bin when bins become wider. */
  constructor(moved: (indexes: Uint32Array) => void) {
    this.moved = moved;
  }

  /** The bin of a number, which was held for a time. */
  hold(value: number, time: number): number {
    const known = this.index.get(this.mask === 0 ? value : this.bitsOf(value));
    if (known !== undefined) {
      this.held[known] = (this.held[known] as number) + time;
      return known;
    }
    if (this.firsts.length >= (this.mask === 0 ? mostExact : mostBins)) {
      this.widen();
      return this.hold(value, time);
    }
    return this.add(value, time);
  }

  private add(value: number, time: number): number {
    this.held.push(time);
    const bin = this.firsts.push(value) - 1;
    this.index.set(this.mask === 0 ? value : this.bitsOf(value), bin);
    return bin;
  }

  private bitsOf(value: number): number {
    // Both zeros are one number.
    double[0] = value === 0 ? 0 : value;
    return (words[upper] as number) & this.mask;
  }

  /** Makes the bins wider; those that become one keep the first number among them. */
  private widen(): void {
    const { firsts, held } = this;
    this.mask = this.mask === 0 ? -1 << (20 - binBits) : this.mask << 1;
    this.index = new Map();
    this.firsts = [];
    this.held = [];
    this.moved(
      Uint32Array.from(firsts, (value, place) => {
        const time = held[place] as number;
        const known = this.index.get(this.bitsOf(value));
        if (known === undefined) return this.add(value, time);
        this.held[known] = (this.held[known] as number) + time;
        return known;
      }),
    );
  }
}
