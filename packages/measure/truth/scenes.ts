import { transformPicture } from "./transform-picture.ts";

/** A grey picture of scene light: brightness 0 to 1, row by row, wrapping round at every edge. */
export interface Scene {
  readonly width: number;
  readonly height: number;
  readonly light: Float32Array;
}

/** Repeatable random numbers in 0 to 1 (mulberry32, public domain). */
export function randomNumbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Repeatable normal numbers of deviation 1 (Box and Muller). */
export function normalNumbers(seed: number): () => number {
  const random = randomNumbers(seed);
  let spare: number | undefined;
  return () => {
    if (spare !== undefined) {
      const kept = spare;
      spare = undefined;
      return kept;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - random()));
    const turn = 2 * Math.PI * random();
    spare = radius * Math.sin(turn);
    return radius * Math.cos(turn);
  };
}

/** Kinds of texture: overlapping discs, clouds of all scales, roofs in crooked rows, fields with few edges. */
export type Texture = "leaves" | "clouds" | "roofs" | "fields";

/** A textured scene. Edges are softened as a lens and a colour mosaic soften them (1-2-1 across and down). */
export function texturedScene(kind: Texture, width: number, height: number, seed: number): Scene {
  const light = new Float32Array(width * height).fill(0.4);
  const random = randomNumbers(seed);
  if (kind === "clouds") clouds(light, width, height, random);
  else if (kind === "roofs") roofs(light, width, height, random);
  else discs(light, width, height, random, kind === "leaves" ? 1 : 3);
  return soften({ width, height, light });
}

/** An even scene. */
export const flatScene = (width: number, height: number, brightness: number): Scene => ({
  width,
  height,
  light: new Float32Array(width * height).fill(brightness),
});

/** Dead leaves: discs of random grey whose count falls with the cube of the radius, as in pictures of nature. */
function discs(light: Float32Array, width: number, height: number, random: () => number, coarseness: number): void {
  const least = 2 * coarseness;
  const most = 90 * coarseness;
  const count = Math.round((width * height) / (14 * coarseness * coarseness));
  for (let n = 0; n < count; n += 1) {
    const radius = 1 / Math.sqrt((1 - random()) / least ** 2 + random() / most ** 2 + 1e-9);
    const reach = Math.min(most, radius);
    disc(light, width, height, random() * width, random() * height, reach, 0.08 + 0.75 * random());
  }
}

function disc(light: Float32Array, w: number, h: number, cx: number, cy: number, radius: number, grey: number): void {
  for (let y = Math.ceil(cy - radius); y <= cy + radius; y += 1) {
    const half = Math.sqrt(Math.max(0, radius ** 2 - (y - cy) ** 2));
    const row = (((y % h) + h) % h) * w;
    for (let x = Math.ceil(cx - half); x <= cx + half; x += 1) light[row + (((x % w) + w) % w)] = grey;
  }
}

/** A field of chance whose power falls with the square of the frequency, as in pictures of nature, without any zeros. */
function clouds(light: Float32Array, width: number, height: number, random: () => number): void {
  const across = 2 ** Math.ceil(Math.log2(width));
  const down = 2 ** Math.ceil(Math.log2(height));
  const terms = Float64Array.from({ length: 2 * across * down }, () => random() - 0.5);
  for (let y = 0; y < down; y += 1) {
    const fy = (y <= down / 2 ? y : y - down) / down;
    for (let x = 0; x < across; x += 1) {
      const fx = (x <= across / 2 ? x : x - across) / across;
      const fall = 1 / Math.max(0.004, Math.hypot(fx, fy));
      terms[2 * (y * across + x)] = (terms[2 * (y * across + x)] ?? 0) * fall;
      terms[2 * (y * across + x) + 1] = (terms[2 * (y * across + x) + 1] ?? 0) * fall;
    }
  }
  transformPicture({ width: across, height: down, terms });
  let energy = 0;
  for (let i = 0; i < across * down; i += 1) energy += (terms[2 * i] ?? 0) ** 2 / (across * down);
  const gain = 0.16 / Math.sqrt(energy);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const grey = 0.42 + gain * (terms[2 * (y * across + x)] ?? 0);
      light[y * width + x] = Math.min(0.95, Math.max(0.03, grey));
    }
  }
}

function roofs(light: Float32Array, width: number, height: number, random: () => number): void {
  for (let y = 0; y < height;) {
    const tall = 24 + Math.floor(random() * 50);
    for (let x = 0; x < width;) {
      const wide = 20 + Math.floor(random() * 70);
      const grey = 0.1 + 0.7 * random();
      const gap = 2 + Math.floor(random() * 8);
      const tile = 3 + Math.floor(random() * 5);
      for (let j = 0; j < tall - gap && y + j < height; j += 1) {
        for (let i = 0; i < wide - gap && x + i < width; i += 1) {
          light[(y + j) * width + x + i] = grey + (j % tile === 0 ? -0.06 : 0) + 0.03 * (random() - 0.5);
        }
      }
      x += wide;
    }
    y += tall;
  }
}

function soften({ width, height, light }: Scene): Scene {
  const across = new Float32Array(light.length);
  const down = new Float32Array(light.length);
  const at = (from: Float32Array, x: number, y: number): number =>
    from[((y + height) % height) * width + ((x + width) % width)] ?? 0;
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      across[y * width + x] = (at(light, x - 1, y) + 2 * at(light, x, y) + at(light, x + 1, y)) / 4;
    }
  }
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      down[y * width + x] = (at(across, x, y - 1) + 2 * at(across, x, y) + at(across, x, y + 1)) / 4;
    }
  }
  return { width, height, light: down };
}
