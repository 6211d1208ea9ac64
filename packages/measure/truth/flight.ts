import type { Scene } from "./scenes.ts";

/** One thing that is filmed: a scene, where a pixel at a time (in frames) sees it, and whether it is there. */
export interface Layer {
  readonly scene: Scene;
  /** Place in the scene seen by the pixel; places wrap round. Returned as [x, y]. */
  readonly at: (x: number, y: number, frames: number) => readonly [number, number];
  /** Whether the pixel sees this layer at all; left out for everywhere. Later layers cover earlier ones. */
  readonly covers?: (x: number, y: number, frames: number) => boolean;
}

/** Turning, zooming and flying through depth: each frame is the mean of many moments of its exposure. */
export interface Flight {
  readonly layers: readonly Layer[];
  readonly width: number;
  readonly height: number;
  readonly frames: number;
  readonly shutterDegrees: number;
  /** Longest way a pixel goes in one frame: decides how many moments are needed for four of them a pixel. */
  readonly mostPixels: number;
}

/** Pictures of brightness 0 to 1, before noise and rounding. */
export function* flown({ layers, width, height, frames, shutterDegrees, mostPixels }: Flight): Generator<Float32Array> {
  const share = shutterDegrees / 360;
  const moments = Math.max(1, Math.ceil(3 * mostPixels * share));
  for (let n = 0; n < frames; n += 1) {
    const picture = new Float32Array(width * height);
    for (let m = 0; m < moments; m += 1) {
      const time = n + (share * (m + 0.5)) / moments;
      for (let y = 0; y < height; y += 1) {
        for (let x = 0; x < width; x += 1) {
          let layer = layers[0];
          for (const next of layers) if (next.covers?.(x, y, time) ?? true) layer = next;
          if (layer === undefined) continue;
          const [u, v] = layer.at(x, y, time);
          picture[y * width + x] = (picture[y * width + x] ?? 0) + seen(layer.scene, u, v) / moments;
        }
      }
    }
    yield picture;
  }
}

function seen({ width, height, light }: Scene, x: number, y: number): number {
  const [fx, fy] = [x - Math.floor(x), y - Math.floor(y)];
  const left = ((Math.floor(x) % width) + width) % width;
  const top = ((Math.floor(y) % height) + height) % height;
  const [right, bottom] = [(left + 1) % width, (top + 1) % height];
  const upper = (light[top * width + left] ?? 0) * (1 - fx) + (light[top * width + right] ?? 0) * fx;
  const lower = (light[bottom * width + left] ?? 0) * (1 - fx) + (light[bottom * width + right] ?? 0) * fx;
  return upper * (1 - fy) + lower * fy;
}
