// Not run by itself: the cards of the bench, made in a folder and kept there until the recipe changes.
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { type ClipPlan, type MadeClip, makeSparseClip } from "./sparse-clip.ts";

/** A made card. */
export interface BenchCard {
  readonly folder: string;
  readonly clips: readonly MadeClip[];
  readonly nominalBytes: number;
}

/** Where cards are kept. */
export const cardsFolder = resolve(import.meta.dirname, "../../.cache/bench");
/** Changed whenever the files would come out differently. */
const recipe = createHash("sha256")
  .update(readFileSync(join(import.meta.dirname, "sparse-clip.ts")))
  .update(readFileSync(join(import.meta.dirname, "cue-text.ts")))
  .update(readFileSync(import.meta.filename))
  .digest("hex");

const firstFlight = Date.UTC(2024, 4, 5, 8, 0, 0);
/** Clips a camera puts into one folder. */
const clipsInFolder = 999;
const tenMinutes = 600;

const card = (name: string, count: number, plan: (place: number) => Omit<ClipPlan, "startMilliseconds">): BenchCard => {
  const folder = join(cardsFolder, name);
  const list = join(cardsFolder, `${name}.json`);
  if (existsSync(list)) {
    const kept = JSON.parse(readFileSync(list, "utf8")) as BenchCard & { recipe: string };
    if (kept.recipe === recipe && existsSync(folder)) return kept;
  }
  rmSync(folder, { recursive: true, force: true });
  const clips: MadeClip[] = [];
  for (let place = 0; place < count; place += 1) {
    const number = String((place % 9999) + 1).padStart(4, "0");
    const path = join(folder, "DCIM", `${100 + Math.floor(place / clipsInFolder)}FLYER`, `FLY_${number}.MP4`);
    if (place % clipsInFolder === 0) mkdirSync(dirname(path), { recursive: true });
    const made = plan(place);
    const gap = 1000 * (60 + Math.ceil(made.frames / made.framesPerSecond));
    clips.push(makeSparseClip(path, { ...made, startMilliseconds: firstFlight + place * gap }));
  }
  const nominalBytes = clips.reduce((sum, clip) => sum + clip.bytes, 0);
  writeFileSync(list, JSON.stringify({ folder, clips, nominalBytes, recipe }));
  return { folder, clips, nominalBytes };
};

/** Long clips of 100 frames a second without telemetry, 2 GB each by their sizes; every fourth has reordered pictures. */
export const headerCard = (count: number): BenchCard =>
  card(`headers-${count}`, count, (place) => ({
    frames: tenMinutes * 100,
    framesPerSecond: 100,
    pictureBytes: 2e9,
    reordered: place % 4 === 3,
    sound: place % 3 === 0,
    index: place % 8 === 5 ? "first" : "last",
  }));

/** Clips of ten minutes with a cue of telemetry for every picture (at most 60,000), in the file or in a subtitle file. */
export const telemetryCard = (count: number, lie: "in the file" | "beside it", cues = 30_000): BenchCard =>
  card(`cues-${cues}-${lie.replaceAll(" ", "-")}-${count}`, count, () => ({
    frames: cues,
    framesPerSecond: cues > 30_000 ? 100 : 50,
    pictureBytes: 2e9,
    index: "last",
    cues: { count: cues, lie },
  }));

/** A card of a day: rates of 50, 100 and 200, and 30,000 to 60,000 cues for each clip, as most small drones write. */
export const fullCard = (count: number): BenchCard => dayCard(`full-${count}`, count, 1);

/** The same where a camera writes no cues for nine clips of ten. */
export const mixedCard = (count: number): BenchCard => dayCard(`mixed-${count}`, count, 10);

const dayCard = (name: string, count: number, everyWithCues: number): BenchCard =>
  card(name, count, (place) => {
    const framesPerSecond = ([50, 100, 200] as const)[place % 3] ?? 50;
    return {
      frames: tenMinutes * framesPerSecond,
      framesPerSecond,
      pictureBytes: 2e9,
      reordered: place % 4 === 3,
      sound: place % 2 === 0,
      index: "last",
      ...(place % everyWithCues === 0
        ? { cues: { count: place % (2 * everyWithCues) === 0 ? 30_000 : 60_000, lie: "beside it" as const } }
        : {}),
    };
  });

/** Clips of ten seconds with a cue a second, for the growth from 10 to 10,000 clips. */
export const shortCard = (count: number): BenchCard =>
  card(`short-${count}`, count, () => ({
    frames: 250,
    framesPerSecond: 25,
    pictureBytes: 1e8,
    sound: false,
    index: "last",
    cues: { count: 10, lie: "in the file" },
  }));
