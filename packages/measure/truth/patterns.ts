import { randomNumbers, type Scene } from "./scenes.ts";

/** Patterns that repeat, or that hide or mimic blur: stripes, tiles, a fence, waves, a test card, half a sky. */
export type Pattern = "stripes" | "tiles" | "fence" | "waves" | "card" | "skyline" | "fine stripes" | "crops";

/** A scene of one pattern; brightness 0 to 1. `over` is what lies behind a fence, or under a sky. */
export function patternScene(kind: Pattern, width: number, height: number, over: Scene, seed = 3): Scene {
  const light = new Float32Array(width * height);
  const of = greyOf(kind, width, height, over, seed);
  for (let y = 0; y < height; y += 1) for (let x = 0; x < width; x += 1) light[y * width + x] = of(x, y);
  return { width, height, light };
}

function greyOf(
  kind: Pattern,
  width: number,
  height: number,
  over: Scene,
  seed: number,
): (x: number, y: number) => number {
  const behind = (x: number, y: number): number => over.light[(y % over.height) * over.width + (x % over.width)] ?? 0;
  const wave = (x: number, period: number): number => Math.sin((2 * Math.PI * x) / period);
  const random = randomNumbers(seed);
  switch (kind) {
    case "stripes":
      return (x) => 0.45 + 0.3 * soft(wave(x, 16));
    case "fine stripes":
      return (x, y) => 0.45 + 0.25 * wave(x, 5) + 0.05 * wave(y, 64);
    case "tiles":
      return (x, y) => 0.45 + 0.18 * soft(wave(x + (Math.floor(y / 12) % 2) * 8, 16)) + 0.12 * soft(wave(y, 12));
    case "crops":
      // Rows of plants: periodic across, random along.
      return (x, y) => 0.25 + 0.2 * soft(wave(x, 20)) + 0.5 * behind(x, y) * (wave(x, 20) > 0 ? 0.5 : 0.1);
    case "fence":
      return (x, y) => (x % 32 < 9 ? 0.75 : 0.6 * behind(x, y));
    case "waves": {
      const parts = Array.from({ length: 40 }, () => {
        const turn = (random() - 0.5) * 1.2;
        const cycles = 8 + Math.floor(random() * 80);
        return { kx: Math.round(cycles * Math.cos(turn)), ky: cycles * Math.sin(turn), at: random() * 7, cycles };
      });
      return (x, y) =>
        0.4 +
        parts.reduce(
          (sum, { kx, ky, at, cycles }) =>
            sum + (0.25 / cycles) * Math.sin(2 * Math.PI * ((kx * x) / width + (ky * y) / width) + at) * 4,
          0,
        ) *
          0.5;
    }
    case "card":
      // Steps of grey, a grating in one corner and a fine one in another, as test cards have.
      return (x, y) => {
        const [u, v] = [x % 480, y % 360];
        if (v < 120) return 0.1 + 0.1 * Math.floor(u / 60);
        if (v < 240) return 0.45 + 0.3 * (u < 240 ? wave(u, 4 + Math.floor(u / 60) * 2) : wave(v, 6));
        return (Math.floor(u / 30) + Math.floor(v / 30)) % 2 === 0 ? 0.2 : 0.8;
      };
    case "skyline":
      return (x, y) => (y < height / 2 ? 0.75 - (0.15 * y) / height : behind(x, y));
  }
}

/** A wave with flanks a few pixels wide, as lenses leave them. */
const soft = (sine: number): number => Math.tanh(2.5 * sine) / Math.tanh(2.5);
