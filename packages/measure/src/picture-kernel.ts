import { hannWindow } from "./fourier.ts";
import type { Samples } from "./frame-layout.ts";
import { kernelCode } from "./picture-kernel-code.ts";

/** Longest side of the largest picture that is looked at, the piece at full resolution. */
export const mostSide = 512;
/** Its pixels. */
export const mostTerms = mostSide * 256;
/** Samples of a frame as ffmpeg hands it over, at most, and bytes of each. */
const mostFrameSamples = 512 * 512;
const mostSampleBytes = 2;
/** Memory for pictures of every size up to that, with their tables, and frames; what is not used is never touched. */
const memoryBytes = 32 * 1024 * 1024;
const pageBytes = 65_536;

/** The little of it that is used; Node's types leave it to those of browsers. */
declare const WebAssembly: {
  readonly Module: new (code: Uint8Array) => object;
  readonly Instance: new (module: object) => { readonly exports: object };
};

/** Places are bytes in the kernel's memory; assembly/ says what each function does. */
interface Exports {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
  readonly freeFrom: { readonly value: number };
  readonly found: { readonly value: number };
  readonly sums: { readonly value: number };
  transform(terms: number, across: number, down: number, room: number, inverse: number): void;
  motion(room: number, isNear: number, nearX: number, nearY: number): number;
  meanPower(
    power: number,
    width: number,
    height: number,
    ...how: readonly [cx: number, cy: number, from: number, to: number, most: number]
  ): number;
  addTerms(
    from: number,
    width: number,
    height: number,
    ...how: readonly [cx: number, cy: number, scale: number, ...cells: readonly number[]]
  ): void;
  lineShare(power: number, width: number, height: number, sums: number): number;
  blurEvidence(
    power: number,
    count: number,
    resolution: number,
    ...how: readonly [lengths: number, tried: number, gains: number, evidence: number]
  ): void;
  meanGain(from: number, to: number, length: number): number;
  soughtTerms(power: number, width: number, height: number, found: number, squares: number): number;
  rowSums(samples: number, bytes: number, rows: number, out: number): void;
  differences(now: number, past: number, bytes: number, rows: number): number;
  shrink(samples: number, bytes: number, firstRow: number, rows: number, gain: number, out: number): void;
  mix(older: number, past: number, now: number, bytes: number, rows: number): void;
  detail(samples: number, bytes: number, ...where: readonly [...edges: Edges, across: number, down: number]): void;
  smaller(
    samples: number,
    bytes: number,
    width: number,
    height: number,
    ...how: readonly [step: number, gain: number, out: number]
  ): void;
  blocks(samples: number, bytes: number, across: number, down: number, out: number): void;
  countCodes(samples: number, bytes: number, rows: number, codes: number, counts: number): void;
  changed(now: number, past: number, bytes: number, rows: number, least: number): number;
  skyEdges(samples: number, bytes: number, rows: number, gain: number, out: number): void;
  transformLine(data: number, out: number, tables: number): void;
}

type Edges = readonly [top: number, bottom: number, left: number, right: number];

/** Memory for pictures of one number of terms, as places. Only `power` outlives the call that fills it. */
interface Rooms {
  readonly first: number;
  readonly second: number;
  readonly terms: number;
  readonly power: number;
  readonly cross: number;
  readonly weights: number;
  readonly phases: number;
}

/** The compiled loops over pixels and spectra, with their memory. One for all clips: no call is ever interrupted by another. */
export interface PictureKernel {
  readonly calls: Exports;
  /** What `motion` found: dx, dy, peak, rival, roundness. */
  readonly found: Float64Array;
  /** Memory for pictures of one size; sides are powers of two. Throws a RangeError beyond `mostSide` or `mostTerms`. */
  rooms(width: number, height: number): Rooms;
  /** The place of a description of a picture's size with its rooms, as `motion` takes it. */
  room(width: number, height: number): number;
  /** The place of tables for transforms of one length, a power of two. */
  tables(length: number): number;
  /** A view of numbers at a place. */
  view(place: number, length: number): Float64Array;
  /** Where numbers lie for the kernel: where they are when they are its own, else copied to `spare`. */
  placed(values: Float64Array, spare: number): number;
  /** Fresh memory for so many numbers; it is never given back. */
  numbers(count: number): Float64Array;
  /** What loops over samples summed up: `assembly/` says what stands where. */
  readonly sums: Float64Array;
  /** Bytes for the samples of one frame, until they are given back. */
  lendFrame(bytes: number): Uint8Array<ArrayBuffer>;
  giveBack(frame: Uint8Array<ArrayBuffer>): void;
  /**
   * Where the samples of a frame lie for the kernel: where they are when they are its own, else copied. Up to three frames
   * are told apart by `slot`.
   */
  frame(samples: Samples, slot?: 0 | 1 | 2): number;
}

let started: PictureKernel | undefined;

/** The kernel, compiled when it is first asked for. */
export const pictureKernel = (): PictureKernel => (started ??= start());

function start(): PictureKernel {
  const code = Buffer.from(kernelCode, "base64");
  // The code is our own: its exports are those listed above.
  const calls = new WebAssembly.Instance(new WebAssembly.Module(code)).exports as unknown as Exports;
  // All of it at once: growing would part the views from what they show.
  calls.memory.grow(memoryBytes / pageBytes);
  const { buffer } = calls.memory;
  let free = calls.freeFrom.value;
  const takeBytes = (bytes: number): number => {
    const place = (free + 15) & ~15;
    if (place + bytes > buffer.byteLength) throw new RangeError("pictures of too many sizes were looked at");
    free = place + bytes;
    return place;
  };
  const take = (numbers: number): number => takeBytes(8 * numbers);
  const view = (place: number, length: number): Float64Array => new Float64Array(buffer, place, length);
  const kept = <T>(make: (size: number) => T): ((size: number) => T) => {
    const known = new Map<number, T>();
    return (size) => {
      const value = known.get(size) ?? make(size);
      known.set(size, value);
      return value;
    };
  };
  const fade = kept((length) => {
    const place = take(length);
    view(place, length).set(hannWindow(length));
    return place;
  });
  const tables = kept((length) => {
    const bits = firstBits(length);
    const [turns, places, place] = [take(2 * length), takeBytes(4 * 2 ** bits), takeBytes(16)];
    fillTurns(view(turns, 2 * length));
    new Int32Array(buffer, places, 2 ** bits).forEach((_, i, all) => (all[i] = reversed(i, bits)));
    new Int32Array(buffer, place, 4).set([length, bits, turns, places]);
    return place;
  });
  const roomsOf = kept((terms): Rooms => {
    // The smallest leave no room for sums along their sides.
    const n = Math.max(64, terms);
    const [first, second, power, weights] = [take(n), take(n), take(n), take(n)];
    return { first, second, power, weights, terms: take(2 * n), cross: take(2 * n), phases: take(2 * n) };
  });
  const rooms = (width: number, height: number): Rooms => {
    if (Math.max(width, height) > mostSide || width * height > mostTerms) {
      throw new RangeError(`a picture of ${width} × ${height} pixels is too large`);
    }
    return roomsOf(width * height);
  };
  const lines = take(4 * mostSide);
  // Two sides in one number.
  const room = kept((sides) => {
    const [width, height] = [sides % sideStep, Math.floor(sides / sideStep)];
    const { first, second, terms, power, cross, weights, phases } = rooms(width, height);
    const parts = [tables(width), tables(height), fade(width), fade(height), first, second, terms, power, cross];
    const place = takeBytes(48);
    new Int32Array(buffer, place, 12).set([...parts, weights, phases, lines]);
    return place;
  });
  const frameBytes = mostFrameSamples * mostSampleBytes;
  const spareFrames: number[] = [];
  const lendFrame = (bytes: number): Uint8Array<ArrayBuffer> => {
    if (bytes > frameBytes) throw new RangeError(`a frame of ${bytes} bytes is too large`);
    return new Uint8Array(buffer, spareFrames.pop() ?? takeBytes(frameBytes), bytes);
  };
  const slots: Uint8Array<ArrayBuffer>[] = [];
  return {
    calls,
    found: view(calls.found.value, 5),
    rooms,
    room: (width, height) => room(height * sideStep + width),
    tables,
    view,
    placed(values, spare) {
      if (values.buffer === buffer) return values.byteOffset;
      view(spare, values.length).set(values);
      return spare;
    },
    numbers: (count) => view(take(count), count),
    sums: view(calls.sums.value, 5),
    lendFrame,
    giveBack: ({ byteOffset }) => spareFrames.push(byteOffset),
    frame(samples, slot = 0) {
      if (samples.buffer === buffer) return samples.byteOffset;
      const room = (slots[slot] ??= lendFrame(frameBytes));
      room.set(new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength));
      return room.byteOffset;
    },
  };
}

const sideStep = 2 * mostSide;

/** Bits of the first step of a transform: it takes two or four terms, so that all others take four. */
const firstBits = (length: number): number => Math.log2(length) - (Math.log2(length) % 2 === 0 ? 1 : 0);

/** Two bits at a time, last first. */
function reversed(place: number, bits: number): number {
  let turned = 0;
  for (let shift = 0; shift < bits; shift += 2) turned |= ((place >>> shift) & 3) << (bits - shift - 2);
  return turned;
}

function fillTurns(turns: Float64Array): void {
  for (let i = 0; i < turns.length; i += 2) {
    const angle = (2 * Math.PI * i) / turns.length;
    turns[i] = Math.cos(angle);
    turns[i + 1] = -Math.sin(angle);
  }
}
