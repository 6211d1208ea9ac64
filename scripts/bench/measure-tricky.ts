// Scenes in which the shutter angle is easily misread: it has to be right or refused. Part of measure.ts.
import { measureClip } from "../../packages/measure/src/measure.ts";
import { record } from "../../packages/measure/truth/encode.ts";
import { codesOf, exposures } from "../../packages/measure/truth/film.ts";
import { flown, type Layer } from "../../packages/measure/truth/flight.ts";
import { patternScene } from "../../packages/measure/truth/patterns.ts";
import { type Scene, texturedScene } from "../../packages/measure/truth/scenes.ts";

const [width, height, fps] = [640, 360, 30];
const { signal } = new AbortController();
/** Long enough for six pairs in three places. */
const frames = 60;

interface Tricky {
  readonly name: string;
  readonly angles: readonly number[];
  readonly noise?: number;
  readonly pictures: (shutterDegrees: number) => Iterable<Float32Array>;
}

/** Prints what is read of each scene, and how many answers lie outside their interval. */
export async function trickyScenes(encoder: string, folder: string): Promise<void> {
  console.log("\ntricky scenes: the angle has to be right or refused; ! outside its interval");
  const score = { asked: 0, answered: 0, wrong: 0 };
  for (const { name, angles, noise = 0.006, pictures } of scenesOf()) {
    const cells: string[] = [];
    for (const degrees of angles) {
      const how = { codec: "h264", bitsPerPixel: 0.4, frameRate: `${fps}`, width, height } as const;
      const key = `tricky ${name} ${degrees}`;
      const path = await record(encoder, folder, key, () => codesOf(pictures(degrees), { noise }), how);
      const about = { width, height, frameRate: fps, durationSeconds: frames / fps };
      const { shutterAngle: read } = await measureClip(path, about, { mode: "all", signal, ffmpeg: encoder });
      score.asked += 1;
      if (read.state !== "read") {
        cells.push(`${degrees}: ${read.why}`);
        continue;
      }
      const wrong = degrees < read.low || degrees > read.high;
      score.answered += 1;
      score.wrong += wrong ? 1 : 0;
      cells.push(
        `${degrees}: ${read.degrees.toFixed(0)} [${read.low.toFixed(0)} ${read.high.toFixed(0)}]${wrong ? " !" : ""}`,
      );
    }
    console.log(`${name.padEnd(16)}${cells.join("  ")}`);
  }
  console.log(`answers ${score.answered} of ${score.asked}, outside the interval ${score.wrong}`);
}

function scenesOf(): readonly Tricky[] {
  const leaves = texturedScene("leaves", 1920, 360, 21);
  const clouds = texturedScene("clouds", 2048, 512, 24);
  const all = [90, 180, 360];
  const pan =
    (scene: Scene, pixelsPerFrame: number) =>
    (shutterDegrees: number): Iterable<Float32Array> =>
      exposures({ scene, width, height, frames, pixelsPerFrame, shutterDegrees });
  const fly =
    (mostPixels: number, ...layers: readonly Layer[]) =>
    (shutterDegrees: number): Iterable<Float32Array> =>
      flown({ layers, width, height, frames, shutterDegrees, mostPixels });
  const turning = (degrees: number, across: number): Layer["at"] => {
    return (x, y, time) => {
      const angle = (degrees * time * Math.PI) / 180;
      const [dx, dy] = [x - width / 2, y - height / 2];
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      return [700 + across * time + dx * c - dy * s, 180 + dx * s + dy * c];
    };
  };
  const zooming = (share: number, across: number): Layer["at"] => {
    return (x, y, time) => {
      const factor = (1 - share) ** time;
      return [700 + across * time + (x - width / 2) * factor, 180 + (y - height / 2) * factor];
    };
  };
  const kinds = ["stripes", "fine stripes", "tiles", "fence", "crops", "waves", "card", "skyline"] as const;
  const posts: Layer = {
    scene: patternScene("fence", 1920, 360, leaves),
    at: (x, y, time) => [x + 18.4 * time, y],
    covers: (x, _y, time) => (x + 18.4 * time) % 32 < 9,
  };
  const dark: Scene = { ...leaves, light: leaves.light.map((light) => light * 0.12) };
  return [
    ...kinds.flatMap((kind) =>
      [17.7, 24.4].map((speed) => ({
        name: `${kind} ${speed}`,
        angles: all,
        pictures: pan(patternScene(kind, 1920, 360, leaves), speed),
      })),
    ),
    {
      name: "fence before",
      angles: [180],
      pictures: fly(9, { scene: leaves, at: (x, y, t) => [x + 11 * t, y] }, posts),
    },
    {
      name: "depth",
      angles: all,
      pictures: fly(14, { scene: leaves, at: (x, y, t) => [x + 18.4 * t * (0.5 + y / height), y] }),
    },
    {
      name: "half a sky",
      angles: all,
      pictures: fly(
        9,
        { scene: clouds, at: (x, y, t) => [x + 1.8 * t, y] },
        { scene: leaves, at: (x, y, t) => [x + 18.4 * t, y], covers: (_x, y) => y > height / 2 },
      ),
    },
    { name: "turning", angles: [180], pictures: fly(6, { scene: leaves, at: turning(2, 0) }) },
    { name: "turning pan", angles: all, pictures: fly(13, { scene: leaves, at: turning(2, 15) }) },
    { name: "zooming", angles: [180], pictures: fly(6, { scene: leaves, at: zooming(0.03, 0) }) },
    { name: "zooming pan", angles: all, pictures: fly(13, { scene: leaves, at: zooming(0.03, 15) }) },
    { name: "low light", angles: all, noise: 0.015, pictures: pan(dark, 17.7) },
    { name: "rolling noise", angles: all, pictures: (degrees) => rolling(pan(leaves, 17.7)(degrees)) },
  ];
}

/** Rows that are brighter and darker from frame to frame, as sensors read in rows leave them in low light. */
function* rolling(pictures: Iterable<Float32Array>): Generator<Float32Array> {
  let n = 0;
  for (const picture of pictures) {
    for (let y = 0; y < height; y += 1) {
      const off =
        0.02 * Math.sin((10 * Math.PI * ((y * 7 + n * 53) % 97)) / 97) + 0.015 * (((y * 31 + n * 17) % 13) / 6 - 1);
      for (let x = 0; x < width; x += 1) picture[y * width + x] = (picture[y * width + x] ?? 0) + off;
    }
    n += 1;
    yield picture;
  }
}
