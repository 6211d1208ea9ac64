// usage: tsx scripts/bench/measure.ts [angle [leaves|roofs|fields|clouds] [12.4|20.3|33.7]] [noise] [dark] [unseen] [repeats] [mixes [leaves|roofs|fields|clouds]] [flicker] [still] [tricky] [quick] [seed=N]
// Speed has a script of its own: measure-speed.ts.
// Films synthetic scenes with known shutter, noise, repeats and flicker, and prints how well the pictures tell them.
import { execFile } from "node:child_process";
import { record, type Recording } from "../../packages/measure/truth/encode.ts";
import { codes, exposures, type Take } from "../../packages/measure/truth/film.ts";
import { flatScene, type Scene, type Texture, texturedScene } from "../../packages/measure/truth/scenes.ts";
import { measureClip, type Measurement } from "../../packages/measure/src/measure.ts";
import { findEncoder } from "../ffmpeg.ts";
import { mixes } from "./measure-mixes.ts";
import { trickyScenes } from "./measure-tricky.ts";

const asked = new Set(process.argv.slice(2));
const quick = asked.has("quick");
const wants = (part: string): boolean => asked.size === 0 || asked.has(part) || (asked.size === 1 && quick);
const seedWord = [...asked].find((word) => word.startsWith("seed="));
const askedSeed = seedWord === undefined ? undefined : Number(seedWord.slice(5));
const folder = ".cache/measure";
const encoder = await findEncoder();
const ffmpeg = process.env.FFMPEG_PATH ?? encoder.path;
const signal = new AbortController().signal;
const [width, height, fps] = [960, 540, 30];

const allTextures: readonly Texture[] = ["leaves", "roofs", "fields", "clouds"];
const someTextures = allTextures.filter((texture) => asked.has(texture));
const namedTextures = someTextures.length > 0 ? someTextures : allTextures;

const scenes = new Map<string, Scene>();
function sceneOf(texture: Texture, seed = 5): Scene {
  const key = `${texture}${seed}`;
  const known = scenes.get(key) ?? texturedScene(texture, 2048, 540, seed);
  scenes.set(key, known);
  return known;
}

interface Shot extends Omit<Take, "width" | "height" | "scene"> {
  readonly key: string;
  readonly codec: Recording["codec"];
  readonly bitsPerPixel?: number;
  readonly scene: () => Scene;
  /** Which picture is shown in each place; makes repeats and gaps. */
  readonly order?: (frame: number) => number;
  /** Mixes the pictures before and after in these places. */
  readonly mixed?: (frame: number) => boolean;
  readonly frameRate?: number;
}

async function film(shot: Shot): Promise<string> {
  const { key, codec, order, mixed, frameRate = fps, bitsPerPixel = codec === "hevc" ? 0.25 : 0.4, ...rest } = shot;
  const how: Recording = {
    codec,
    bitsPerPixel,
    frameRate: `${frameRate}`,
    width,
    height,
    bitDepth: rest.bitDepth ?? 8,
  };
  const named = [
    key,
    rest.frames,
    rest.shutterDegrees,
    rest.directionDegrees,
    rest.bitDepth,
    rest.seed,
    String(rest.noise),
  ];
  return await record(
    encoder.path,
    folder,
    JSON.stringify(["v1", ...named, String(rest.pixelsPerFrame)]),
    pictures,
    how,
  );
  function* pictures(): Generator<Uint8Array | Uint16Array> {
    const scene = shot.scene();
    const all = codes({ ...rest, scene, width, height });
    if (order === undefined && mixed === undefined) {
      yield* all;
      return;
    }
    const kept = [...all].map((picture) => picture.slice());
    for (let n = 0; n < rest.frames; n += 1) {
      const picture = kept[order?.(n) ?? n];
      if (picture === undefined) return;
      const [before, after] = [kept[n - 1], kept[n + 1]];
      if (mixed?.(n) === true && before !== undefined && after !== undefined) {
        yield picture.map((_, i) => Math.round(((before[i] ?? 0) + (after[i] ?? 0)) / 2));
      } else yield picture;
    }
  }
}

async function measure(
  path: string,
  frames: number,
  more: { frameRate?: number; bitDepth?: number } = {},
): Promise<Measurement> {
  const frameRate = more.frameRate ?? fps;
  const about = {
    width,
    height,
    frameRate,
    durationSeconds: frames / frameRate,
    ...(more.bitDepth === undefined ? {} : { bitDepth: more.bitDepth }),
  };
  return await measureClip(path, about, { mode: "all", signal, ffmpeg });
}

const middle = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
const percent = (part: number, whole: number): string => `${((100 * part) / Math.max(1, whole)).toFixed(0)} %`;

async function angles(): Promise<void> {
  console.log("\nshutter angle: read [interval] for known angles; ! outside its interval");
  const textures = quick && namedTextures.length === 4 ? namedTextures.slice(0, 2) : namedTextures;
  const codecs: readonly Recording["codec"][] = quick ? ["h264"] : ["h264", "hevc"];
  const all = [12.4, 20.3, 33.7];
  const picked = all.filter((speed) => asked.has(String(speed)));
  const speeds = picked.length > 0 ? picked : quick ? [20.3] : all;
  const errors: number[] = [];
  const score = { asked: 0, answered: 0, wrong: 0 };
  const bySpeed = new Map<number, { asked: number; answered: number; wrong: number }>();
  for (const texture of textures) {
    for (const codec of codecs) {
      for (const speed of speeds) {
        const cells: string[] = [];
        for (const shutterDegrees of [45, 90, 135, 180, 270, 360]) {
          const key = askedSeed === undefined ? `angle ${texture}` : `angle ${texture} ${askedSeed}`;
          const shot: Shot = {
            key,
            codec,
            scene: () => sceneOf(texture, askedSeed),
            frames: 60,
            pixelsPerFrame: speed,
            shutterDegrees,
            noise: 0.006,
          };
          const { shutterAngle: read } = await measure(await film(shot), 60);
          const tally = bySpeed.get(speed) ?? { asked: 0, answered: 0, wrong: 0 };
          bySpeed.set(speed, tally);
          score.asked += 1;
          tally.asked += 1;
          if (read.state !== "read") {
            cells.push(`${shutterDegrees}: ${read.why}`);
            continue;
          }
          const wrong = shutterDegrees < read.low || shutterDegrees > read.high;
          score.answered += 1;
          tally.answered += 1;
          score.wrong += wrong ? 1 : 0;
          tally.wrong += wrong ? 1 : 0;
          errors.push(Math.abs(read.degrees - shutterDegrees));
          cells.push(
            `${shutterDegrees}: ${read.degrees.toFixed(0)} [${read.low.toFixed(0)} ${read.high.toFixed(0)}]${wrong ? " !" : ""}`,
          );
        }
        console.log(`${texture.padEnd(7)}${codec.padEnd(5)}${speed.toFixed(1).padStart(5)} px  ${cells.join("  ")}`);
      }
    }
  }
  console.log(`median error ${middle(errors).toFixed(1)} degrees (bar 12), worst ${Math.max(...errors).toFixed(0)}`);
  console.log(
    `answers ${percent(score.answered, score.asked)} of ${score.asked} (bar 80 %), outside the interval ${percent(score.wrong, score.answered)} (bar 5 %)`,
  );
  for (const [speed, tally] of bySpeed)
    console.log(`  ${speed} px a frame: ${tally.answered} of ${tally.asked} answered, ${tally.wrong} wrong`);
}

/** Dark pans, in which texture stands little above the noise; the angle has to be right or refused. */
async function dark(): Promise<void> {
  const seed = askedSeed ?? 33;
  console.log(`\ndark pans of seed ${seed}: read [interval] for known angles; ! outside its interval`);
  const score = { asked: 0, answered: 0, wrong: 0 };
  for (const texture of ["leaves", "roofs", "fields", "clouds"] as const) {
    for (const [gain, noise, speed] of [
      [0.1, 0.012, 16.3],
      [0.2, 0.012, 23.1],
      [0.15, 0.02, 19.7],
    ] as const) {
      const bright = sceneOf(texture, seed);
      const scene = { ...bright, light: bright.light.map((light) => light * gain) };
      const cells: string[] = [];
      for (const shutterDegrees of [90, 180, 270]) {
        const key = `dark ${texture} ${seed} ${gain}`;
        const how = { scene: () => scene, frames: 60, pixelsPerFrame: speed, shutterDegrees, noise, seed };
        const { shutterAngle: read } = await measure(await film({ key, codec: "h264", ...how }), 60);
        score.asked += 1;
        if (read.state !== "read") {
          cells.push(`${shutterDegrees}: ${read.why}`);
          continue;
        }
        const wrong = shutterDegrees < read.low || shutterDegrees > read.high;
        score.answered += 1;
        score.wrong += wrong ? 1 : 0;
        cells.push(
          `${shutterDegrees}: ${read.degrees.toFixed(0)} [${read.low.toFixed(0)} ${read.high.toFixed(0)}]${wrong ? " !" : ""}`,
        );
      }
      console.log(`${texture.padEnd(7)} light × ${gain} noise ${noise} ${speed} px  ${cells.join("  ")}`);
    }
  }
  console.log(`answers ${score.answered} of ${score.asked}, outside the interval ${score.wrong}`);
}

async function still(): Promise<void> {
  console.log("\nflat and still pictures: the angle has to be refused");
  const cases: readonly (readonly [string, () => Scene, number])[] = [
    ["flat, moving", () => flatScene(2048, 540, 0.4), 20.3],
    ["still leaves", () => sceneOf("leaves"), 0],
    ["slow leaves", () => sceneOf("leaves"), 2.2],
  ];
  for (const [name, scene, speed] of cases) {
    for (const codec of ["h264", "hevc"] as const) {
      const shot: Shot = {
        key: `still ${name}`,
        codec,
        scene,
        frames: 60,
        pixelsPerFrame: speed,
        shutterDegrees: 180,
        noise: 0.01,
      };
      const found = await measure(await film(shot), 60);
      console.log(
        `${name} ${codec}: ${found.shutterAngle.state === "read" ? `READ ${found.shutterAngle.degrees}` : found.shutterAngle.why}`,
      );
    }
  }
}

/**
 * Deviation of what was decoded from the picture before noise and coding, in even areas, as a share of the signal
 * range; read by another way than the measure: from the known clean pictures.
 */
async function survivingSigma(path: string, shot: Shot): Promise<number> {
  const raw = await new Promise<Buffer>((done, failed) => {
    const args = ["-v", "error", "-i", path, "-vf", "extractplanes=y", "-f", "rawvideo", "-pix_fmt", "gray", "-"];
    execFile(ffmpeg, args, { maxBuffer: 2 ** 30, encoding: "buffer" }, (error, out) =>
      error === null ? done(out) : failed(error),
    );
  });
  let [squares, count, n] = [0, 0, 0];
  for (const clean of exposures({ ...shot, scene: shot.scene(), width, height })) {
    if (n % 5 === 2) {
      for (let y = 0; y + 8 <= height; y += 8) {
        for (let x = 0; x + 8 <= width; x += 8) {
          let [least, most, sum, square] = [1, 0, 0, 0];
          for (let i = 0; i < 64; i += 1) {
            const at = (y + (i >> 3)) * width + x + (i & 7);
            const was = clean[at] ?? 0;
            least = Math.min(least, was);
            most = Math.max(most, was);
            const off = ((raw[n * width * height + at] ?? 0) - 16) / 219 - was;
            sum += off;
            square += off * off;
          }
          if (most - least > 0.004) continue;
          squares += square - (sum * sum) / 64;
          count += 63;
        }
      }
    }
    n += 1;
  }
  return Math.sqrt(squares / count);
}

async function noises(): Promise<void> {
  console.log(
    "\nnoise in dB for sigma in 8 bit codes: [surviving against put in] read against surviving; before coding against put in [interval]",
  );
  const worst = { none: 0, h264: 0, hevc: 0 };
  const before = { none: 0, h264: 0, hevc: 0 };
  const tally = { asked: 0, answered: 0, outside: 0 };
  for (const codec of ["none", "h264", "hevc"] as const) {
    for (const [name, texture, speed] of [
      ["still leaves", "leaves", 0],
      ["moving fields", "fields", 12.4],
    ] as const) {
      for (const bitsPerPixel of codec === "none" ? [1] : [0.4, 0.2]) {
        const cells: string[] = [];
        for (const sigma of [1, 2, 4, 6]) {
          const noise = sigma / 219;
          const key = `noise ${texture}`;
          const scene = (): Scene => sceneOf(texture);
          const shot: Shot = {
            key,
            codec,
            scene,
            bitsPerPixel,
            noise,
            frames: 40,
            pixelsPerFrame: speed,
            shutterDegrees: 180,
          };
          const path = await film(shot);
          const found = await measure(path, 40);
          const truth = await survivingSigma(path, shot);
          const decibels = (value: number, against: number): string => (20 * Math.log10(value / against)).toFixed(1);
          const said = [`${sigma}: [${decibels(truth, noise)}]`];
          if (found.noise.state === "read") {
            // The bars are for camera-like bit rates; a fifth of a bit a pixel is there to see what breaks.
            const off = Math.abs(20 * Math.log10(found.noise.sigmaPercent / 100 / truth));
            if (bitsPerPixel >= 0.4) worst[codec] = Math.max(worst[codec], off);
            said.push(decibels(found.noise.sigmaPercent / 100, truth));
          } else said.push(found.noise.why);
          tally.asked += 1;
          const put = found.noiseBeforeCoding;
          if (put.state === "read") {
            const inside = put.lowPercent <= 100 * noise && 100 * noise <= put.highPercent;
            tally.answered += 1;
            tally.outside += inside ? 0 : 1;
            before[codec] = Math.max(before[codec], Math.abs(20 * Math.log10(put.sigmaPercent / 100 / noise)));
            said.push(`before ${decibels(put.sigmaPercent / 100, noise)}${inside ? "" : " !"}`);
          } else said.push(put.why);
          cells.push(said.join(" "));
        }
        console.log(`${codec.padEnd(5)}${bitsPerPixel} ${name.padEnd(14)} ${cells.join("   ")}`);
      }
    }
  }
  const list = (of: typeof worst): string =>
    `${of.none.toFixed(2)} dB without coding (bar 1), ${of.h264.toFixed(2)} dB h264, ${of.hevc.toFixed(2)} dB hevc (bar 2)`;
  console.log(`worst against what survives, 0.4 bit a pixel: ${list(worst)}`);
  console.log(`worst before coding against what was put in, wherever it answers: ${list(before)}`);
  console.log(
    `before coding: answers ${percent(tally.answered, tally.asked)} of ${tally.asked}, outside its interval ${tally.outside}`,
  );
}

/** Noise before coding on scenes of a seed of one's own, so that what was fitted can be tried on what was not seen. */
async function unseenNoises(): Promise<void> {
  const seed = askedSeed ?? 77;
  console.log(`\nnoise before coding on scenes of seed ${seed}, in dB against what was put in; ! outside its interval`);
  const tally = { asked: 0, answered: 0, outside: 0, far: 0 };
  const put = [1, 1.5, 2.2, 3.3, 5];
  let n = 0;
  for (const codec of ["none", "h264", "hevc"] as const) {
    for (const texture of ["roofs", "leaves", "fields", "clouds"] as const) {
      const cells: string[] = [];
      for (const sigma of put) {
        n += 1;
        const bitsPerPixel = codec === "none" ? 1 : ([0.27, 0.35, 0.5][n % 3] ?? 0.35);
        const shot: Shot = {
          key: `unseen ${texture} ${seed}`,
          codec,
          scene: () => sceneOf(texture, seed),
          bitsPerPixel,
          noise: sigma / 219,
          frames: 40,
          pixelsPerFrame: [0, 3.7, 14.3][n % 3] ?? 0,
          shutterDegrees: 180,
          seed,
        };
        const found = (await measure(await film(shot), 40)).noiseBeforeCoding;
        tally.asked += 1;
        if (found.state !== "read") {
          cells.push(`${sigma}: ${found.why}`);
          continue;
        }
        const off = 20 * Math.log10((found.sigmaPercent * 2.19) / sigma);
        const inside = found.lowPercent * 2.19 <= sigma && sigma <= found.highPercent * 2.19;
        tally.answered += 1;
        tally.outside += inside ? 0 : 1;
        tally.far += Math.abs(off) > (codec === "none" ? 1 : 2) ? 1 : 0;
        cells.push(`${sigma}: ${off.toFixed(1)} lost ${found.lostDecibels.toFixed(1)}${inside ? "" : " !"}`);
      }
      console.log(`${codec.padEnd(5)}${texture.padEnd(7)} ${cells.join("   ")}`);
    }
  }
  console.log(
    `answers ${tally.answered} of ${tally.asked}; beyond 1 dB uncoded or 2 dB coded: ${tally.far}; outside the interval: ${tally.outside}`,
  );
}

async function repeats(): Promise<void> {
  console.log("\nrepeats, cadence, drops, mixes");
  const n = 120;
  const cases: readonly (readonly [string, Pick<Shot, "order" | "mixed" | "frameRate">])[] = [
    ["clean", {}],
    ["24 in 30", { order: (k) => Math.floor((k * 4) / 5) }],
    ["25 in 30", { order: (k) => Math.floor((k * 5) / 6) }],
    ["30 in 60", { order: (k) => Math.floor(k / 2), frameRate: 60 }],
    ["24 in 60", { order: (k) => Math.floor((k * 2) / 5), frameRate: 60 }],
    ["24 in 120", { order: (k) => Math.floor(k / 5), frameRate: 120 }],
    ["3 single repeats", { order: (k) => k - (k > 30 ? 1 : 0) - (k > 33 ? 1 : 0) - (k > 50 ? 1 : 0) }],
    ["2 drops", { order: (k) => k + (k > 20 ? 1 : 0) + (k > 40 ? 2 : 0) }],
    ["every 4th mixed", { mixed: (k) => k % 4 === 2 }],
  ];
  for (const [name, how] of cases) {
    for (const [texture, speed, codec] of [
      ["leaves", 6.3, "h264"],
      ["leaves", 20.3, "hevc"],
      ["fields", 12.4, "h264"],
      ["clouds", 3.1, "hevc"],
    ] as const) {
      const shot: Shot = {
        key: `repeats ${name} ${texture}`,
        codec,
        scene: () => sceneOf(texture),
        frames: n,
        pixelsPerFrame: speed,
        shutterDegrees: 180,
        noise: 0.008,
        ...how,
      };
      const { repeats: found } = await measure(await film(shot), n, { frameRate: how.frameRate ?? fps });
      const says =
        found.state === "read"
          ? `${found.pattern} ${(100 * found.repeatedShare).toFixed(1)} %${found.trueFramesPerSecond === undefined ? "" : ` = ${found.trueFramesPerSecond.toFixed(3)}`}, drops ${found.droppedAtSeconds.map((s) => (s * (how.frameRate ?? fps)).toFixed(0)).join(" ") || "none"}, mixed ${found.blendedShare === undefined ? "not told" : `${(100 * found.blendedShare).toFixed(0)} %`}`
          : found.why;
      console.log(`${name.padEnd(18)}${texture.padEnd(7)}${String(speed).padStart(5)} px ${codec.padEnd(5)} ${says}`);
    }
  }
}

async function flickers(): Promise<void> {
  console.log("\nflicker: known beat, found beat (bar 0.2 Hz)");
  const n = 150;
  const cases: readonly (readonly [string, number, number, number])[] = [
    ["100 Hz in 30 frames/s", 10, 0.03, 0],
    ["100 Hz in 24 frames/s as 4 Hz", 4, 0.02, 0],
    ["weak", 7.3, 0.008, 0],
    ["rolling bands", 10, 0.04, 2.5],
    ["rolling slow", 2.4, 0.05, 1],
    ["none", 0, 0, 0],
  ];
  for (const [name, hertz, amplitude, bands] of cases) {
    for (const [texture, speed, codec] of [
      ["leaves", 0, "h264"],
      ["leaves", 6.3, "hevc"],
      ["fields", 20.3, "h264"],
      ["roofs", 12.4, "h264"],
    ] as const) {
      const lamp = (frame: number, row: number): number =>
        1 + amplitude * Math.sin(2 * Math.PI * ((hertz * frame) / fps + bands * row));
      const shot: Shot = {
        key: `flicker ${name} ${texture}`,
        codec,
        scene: () => sceneOf(texture),
        frames: n,
        pixelsPerFrame: speed,
        shutterDegrees: 180,
        noise: 0.008,
        lamp,
      };
      const { flicker } = await measure(await film(shot), n);
      const says =
        flicker.state !== "read"
          ? flicker.why
          : flicker.found
            ? `${flicker.hertz?.toFixed(2)} Hz, ${flicker.amplitudePercent?.toFixed(2)} %, bands ${flicker.bandsPerPicture?.toFixed(1)}, mains ${flicker.mainsHertz ?? "–"}`
            : `none above ${flicker.leastSeenPercent.toFixed(2)} %`;
      console.log(
        `${name.padEnd(30)}${hertz} Hz ${(100 * amplitude).toFixed(1)} %  ${texture.padEnd(7)}${codec}: ${says}`,
      );
    }
  }
}

console.log(`ffmpeg for decoding: ${ffmpeg.split("/").at(-1)}, ${encoder.version.split(" ").slice(0, 3).join(" ")}`);
if (wants("angle")) await angles();
if (wants("dark")) await dark();
if (wants("still")) await still();
if (wants("noise")) await noises();
if (wants("unseen")) await unseenNoises();
if (wants("repeats")) await repeats();
if (wants("mixes")) await mixes(encoder.path, folder, namedTextures);
if (wants("flicker")) await flickers();
if (wants("tricky")) await trickyScenes(encoder.path, folder);
