// Pans with mixed pictures, clean ones beside them, shaking and conversions by mixing. Part of measure.ts.
import { measureClip } from "../../packages/measure/src/measure.ts";
import { record } from "../../packages/measure/truth/encode.ts";
import { codes } from "../../packages/measure/truth/film.ts";
import { type Scene, type Texture, texturedScene } from "../../packages/measure/truth/scenes.ts";

const [width, height, fps, frames] = [960, 540, 30, 60];
const { signal } = new AbortController();

/** Weights of filmed pictures in one that is shown. */
type Shown = (frame: number) => { readonly of: number; readonly and: number; readonly share: number };

const own: Shown = (k) => ({ of: k, and: k, share: 0 });
const mixedWhere =
  (mixed: (frame: number) => boolean): Shown =>
  (k) =>
    mixed(k) && k > 0 ? { of: k - 1, and: k + 1, share: 0.5 } : own(k);
const convertedFrom =
  (rate: number): Shown =>
  (k) => {
    const of = Math.floor((k * rate) / fps + 1e-9);
    return { of, and: of + 1, share: (k * rate) / fps - of };
  };
const shaking =
  (base: number, turns: number) =>
  (frame: number): number =>
    base + 4 * Math.sin(2 * Math.PI * turns * frame + 0.4);

/** Prints the share of mixes that is told of each, for some textures. */
export async function mixes(encoder: string, folder: string, textures: readonly Texture[]): Promise<void> {
  console.log(
    "\nmixed pictures: share told, with the rate it came from (every 4th 25 %, every 2nd 50 % from 15, clean and shaking 0 % or not told, 24 to 30 80 %, 25 to 30 83 %)",
  );
  const pans = [1.5, 3.1, 6.3, 12.4, 20.3].map((speed) => [`${speed} px`, speed] as const);
  const shakes = [0.5, 0.37, 0.25, 0.1].map((turns) => [`shaking ${turns}`, shaking(0, turns)] as const);
  const kinds: readonly (readonly [string, Shown])[] = [
    ["clean", own],
    ["4th", mixedWhere((k) => k % 4 === 2)],
    ["2nd", mixedWhere((k) => k % 2 === 1)],
    ["24 to 30", convertedFrom(24)],
    ["25 to 30", convertedFrom(25)],
  ];
  for (const texture of textures) {
    const scene = texturedScene(texture, 2048, 540, 5);
    for (const [name, speed] of [...pans, ...shakes]) {
      for (const codec of ["h264", "hevc"] as const) {
        const cells: string[] = [];
        for (const [kind, shown] of name.startsWith("shaking") ? kinds.slice(0, 1) : kinds) {
          const how = { codec, bitsPerPixel: codec === "hevc" ? 0.25 : 0.4, frameRate: `${fps}`, width, height };
          const path = await record(
            encoder,
            folder,
            `mixes ${texture} ${name} ${kind}`,
            () => filmed(scene, speed, shown),
            how,
          );
          const about = { width, height, frameRate: fps, durationSeconds: frames / fps };
          const { repeats } = await measureClip(path, about, { mode: "all", signal, ffmpeg: encoder });
          const { blendedShare: share, mixedFromFramesPerSecond: from } =
            repeats.state === "read" ? repeats : { blendedShare: undefined, mixedFromFramesPerSecond: undefined };
          const told = share === undefined ? "not told" : `${(100 * share).toFixed(0)} %`;
          cells.push(`${kind} ${told}${from === undefined ? "" : ` from ${from}`}`);
        }
        console.log(`${texture.padEnd(7)}${name.padEnd(13)}${codec.padEnd(5)}${cells.join("  ")}`);
      }
    }
  }
}

function* filmed(scene: Scene, pixelsPerFrame: number | ((frame: number) => number), shown: Shown) {
  const take = { scene, width, height, frames: frames + 1, pixelsPerFrame, shutterDegrees: 180, noise: 0.008, seed: 5 };
  const all = [...codes(take)].map((picture) => picture.slice());
  for (let k = 0; k < frames; k += 1) {
    const { of, and, share } = shown(k);
    const [a, b] = [all[of], all[and]];
    if (a !== undefined && b !== undefined)
      yield a.map((code, i) => Math.round((1 - share) * code + share * (b[i] ?? 0)));
  }
}
