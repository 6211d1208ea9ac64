import { normalNumbers, randomNumbers, type Scene } from "./scenes.ts";

/** How a scene is filmed. */
export interface Take {
  readonly scene: Scene;
  readonly width: number;
  readonly height: number;
  readonly frames: number;
  /** Pixels the picture moves in the time of frame `n`; a number when the speed is even. */
  readonly pixelsPerFrame: number | ((frame: number) => number);
  /** Where the camera turns to: 0 right, 90 down. Default 0. */
  readonly directionDegrees?: number;
  readonly shutterDegrees: number;
  /** Deviation of the noise added before rounding, in shares of full scale (0 to 1), or by brightness. */
  readonly noise?: number | ((brightness: number) => number);
  /** Factor of brightness by frame and row (0 to 1 down the picture). */
  readonly lamp?: (frame: number, row: number) => number;
  readonly bitDepth?: number;
  readonly seed?: number;
}

/** Pictures of brightness 0 to 1 with exactly integrated exposure, before noise and rounding. */
export function* exposures(take: Take): Generator<Float32Array> {
  const turn = ((take.directionDegrees ?? 0) * Math.PI) / 180;
  const [alongX, alongY] = [Math.cos(turn), Math.sin(turn)];
  const sums = alongY === 0 ? rowSums(take.scene) : undefined;
  let place = 0;
  for (let n = 0; n < take.frames; n += 1) {
    const step = typeof take.pixelsPerFrame === "number" ? take.pixelsPerFrame : take.pixelsPerFrame(n);
    const blur = (step * take.shutterDegrees) / 360;
    const picture = new Float32Array(take.width * take.height);
    if (sums !== undefined && Math.abs(blur) > 1e-3) alongRows(take, sums, place, blur, picture);
    else anyWay(take, place * alongX, place * alongY, blur * alongX, blur * alongY, picture);
    if (take.lamp !== undefined) light(take, n, picture);
    yield picture;
    place += step;
  }
}

/** The same pictures as the camera would write them: narrow range codes with noise, 8 bit or 16 bit holding 10. */
export function codes(take: Take): Generator<Uint8Array | Uint16Array> {
  return codesOf(exposures(take), take);
}

/** Codes of any pictures of brightness 0 to 1. */
export function* codesOf(
  pictures: Iterable<Float32Array>,
  how: Pick<Take, "noise" | "bitDepth" | "seed"> & {
    /** Code values of the whole range instead of narrow ones. */ readonly fullRange?: boolean;
  },
): Generator<Uint8Array | Uint16Array> {
  const random = randomNumbers((how.seed ?? 1) * 7919 + 17);
  const depth = how.bitDepth ?? 8;
  const top = 2 ** depth - 1;
  const [black, span] = how.fullRange === true ? [0, top] : [16 * 2 ** (depth - 8), 219 * 2 ** (depth - 8)];
  const { noise = 0 } = how;
  for (const picture of pictures) {
    const out = depth === 8 ? new Uint8Array(picture.length) : new Uint16Array(picture.length);
    let chance = 0;
    for (let i = 0; i < picture.length; i += 1) {
      // A new place in the table every 256 pixels keeps rows and frames apart.
      chance = (i & 255) === 0 ? Math.floor(random() * chances.length) : (chance + 1) & (chances.length - 1);
      const bright = picture[i] ?? 0;
      const sigma = typeof noise === "number" ? noise : noise(bright);
      const code = black + span * (bright + sigma * (chances[chance] ?? 0));
      out[i] = Math.max(0, Math.min(top, Math.round(code)));
    }
    yield out;
  }
}

const normal = normalNumbers(4711);
/** Normal numbers made once: fresh ones for every pixel would take most of the time. */
const chances = Float32Array.from({ length: 2 ** 18 }, normal);

function light({ width, height, lamp }: Take, frame: number, picture: Float32Array): void {
  for (let y = 0; y < height; y += 1) {
    const factor = lamp?.(frame, y / height) ?? 1;
    for (let x = 0; x < width; x += 1) picture[y * width + x] = (picture[y * width + x] ?? 0) * factor;
  }
}

/** Sums along each row, so that the light of any span is a difference: exact for light even inside a scene pixel. */
function rowSums({ width, height, light: scene }: Scene): Float64Array {
  const sums = new Float64Array((width + 1) * height);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      sums[y * (width + 1) + x + 1] = (sums[y * (width + 1) + x] ?? 0) + (scene[y * width + x] ?? 0);
    }
  }
  return sums;
}

function alongRows(take: Take, sums: Float64Array, place: number, blur: number, out: Float32Array): void {
  const { width: w, height: h } = take.scene;
  for (let y = 0; y < take.height; y += 1) {
    const row = (y % h) * (w + 1);
    const whole = sums[row + w] ?? 0;
    const upTo = (x: number): number => {
      const rounds = Math.floor(x / w);
      const rest = x - rounds * w;
      const cell = Math.min(w - 1, Math.floor(rest));
      const low = sums[row + cell] ?? 0;
      return rounds * whole + low + ((sums[row + cell + 1] ?? 0) - low) * (rest - cell);
    };
    for (let x = 0; x < take.width; x += 1) {
      out[y * take.width + x] = (upTo(x + place + blur) - upTo(x + place)) / blur;
    }
  }
}

/** Any direction: means over places a quarter of a pixel apart along the path, each read between four pixels. */
function anyWay(take: Take, x0: number, y0: number, bx: number, by: number, out: Float32Array): void {
  const { width: w, height: h, light: scene } = take.scene;
  const steps = Math.max(1, Math.ceil(Math.hypot(bx, by) * 4));
  for (let s = 0; s < steps; s += 1) {
    const share = steps === 1 ? 0 : (s + 0.5) / steps;
    const px = (((x0 + bx * share) % w) + w) % w;
    const py = (((y0 + by * share) % h) + h) % h;
    const [ix, iy] = [Math.floor(px), Math.floor(py)];
    const [fx, fy] = [px - ix, py - iy];
    for (let y = 0; y < take.height; y += 1) {
      const top = ((y + iy) % h) * w;
      const bottom = ((y + iy + 1) % h) * w;
      for (let x = 0; x < take.width; x += 1) {
        const left = (x + ix) % w;
        const right = (x + ix + 1) % w;
        const upper = (scene[top + left] ?? 0) * (1 - fx) + (scene[top + right] ?? 0) * fx;
        const lower = (scene[bottom + left] ?? 0) * (1 - fx) + (scene[bottom + right] ?? 0) * fx;
        out[y * take.width + x] = (out[y * take.width + x] ?? 0) + (upper * (1 - fy) + lower * fy) / steps;
      }
    }
  }
}
