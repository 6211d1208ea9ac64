import { join } from "node:path";
import {
  absent,
  type Clip,
  type Facts,
  type FoundClip,
  type Origin,
  pictureFacts,
  type Reading,
  read,
  toNumber,
  valueOf,
} from "@goodgate/model";
import { CommandError } from "./command-error.ts";
import type { Io } from "./io.ts";
import type { Journal } from "./journal.ts";
import { type CardReading, isUnchanged } from "./read-card.ts";
import type { ClipOutline, Measurement } from "@goodgate/measure";

const noFfmpeg = "--measure needs ffmpeg, and none was found: install it, or name one in FFMPEG_PATH";

/** How much of each clip is looked at. */
export type MeasureMode = "sample" | "all";

/** Where what the pictures said before is kept: the journal of this audit, and the cache of earlier ones. */
export interface KeptPictures {
  readonly journal?: Journal | undefined;
  readonly cache?: Journal | undefined;
}

/** Asks the pictures of every clip and adds what they say to its facts. Throws a CommandError when there is no ffmpeg. */
export async function measurePictures(
  reading: CardReading,
  mode: MeasureMode,
  mainsHertz: number | undefined,
  io: Io,
  { journal, cache }: KeptPictures = {},
): Promise<CardReading> {
  const { findFfmpeg, likelyFfmpeg, measureClip } = await import("@goodgate/measure");
  const likely = await likelyFfmpeg();
  if (likely === undefined) throw new CommandError(noFfmpeg);
  let ffmpeg: { readonly path: string; readonly version?: string } = { path: likely };
  /** Measures a clip; the first time, what was started has to call itself ffmpeg, or another is sought. */
  const measure = async (place: string, about: ClipOutline): Promise<Measurement> => {
    const options = { mode, signal: io.signal };
    const found = await measureClip(place, about, { ...options, ffmpeg: ffmpeg.path });
    if (ffmpeg.version !== undefined) return found;
    const { version } = found.coverage;
    if (version !== undefined) {
      ffmpeg = { ...ffmpeg, version };
      return found;
    }
    const other = await findFfmpeg();
    if (other === undefined) throw new CommandError(noFfmpeg);
    ffmpeg = other;
    return other.path === likely ? found : await measureClip(place, about, { ...options, ffmpeg: other.path });
  };
  const places = new Map(reading.card.clips.map((found) => [found.name, found]));
  const clips: Clip[] = [];
  // One clip at a time: decoding uses every core by itself.
  for (const clip of reading.clips) {
    io.progress(`looking at the pictures of ${clips.length + 1} of ${reading.clips.length} clips`);
    const found = places.get(clip.name);
    const original = found?.files.find((file) => file.role === "original");
    const { frameRate, width, height } = clip.facts;
    const [rate, wide, high] = [valueOf(frameRate), valueOf(width), valueOf(height)];
    const length = valueOf(clip.facts.usableSeconds) ?? valueOf(clip.facts.durationSeconds);
    if (io.signal.aborted || found === undefined || original === undefined) {
      clips.push(clip);
      continue;
    }
    if (rate === undefined || wide === undefined || high === undefined || length === undefined) {
      const why = absent(
        `cannot tell: without ${rate === undefined ? "its rate" : "its size and length"} it is not decoded`,
      );
      clips.push({ ...clip, facts: { ...clip.facts, ...Object.fromEntries(pictureFacts.map((name) => [name, why])) } });
      continue;
    }
    const parts = clip.files.filter((file) => file.role === "original" || file.role === "part");
    const bitDepth = valueOf(clip.facts.bitDepth);
    const fullRange = valueOf(clip.facts.fullRange);
    const transfer = valueOf(clip.facts.transfer);
    const outline: ClipOutline = {
      frameRate: toNumber(rate),
      // The first part of a split recording stands for all of it; the coverage says so.
      durationSeconds:
        toNumber(length) * (parts.length > 1 ? (parts[0]?.frames ?? 0) / (valueOf(clip.facts.frames) ?? 1) : 1),
      width: wide,
      height: high,
      ...(bitDepth === undefined ? {} : { bitDepth }),
      ...(fullRange === undefined ? {} : { fullRange }),
      ...(transfer === undefined ? {} : { transfer }),
      ...(mainsHertz === undefined ? {} : { mainsHertz }),
    };
    // Kept beside what was read of the clip, under what was asked: other stretches or another outline are other answers.
    const asked: FoundClip = { ...found, name: `${found.name}\npictures ${mode} ${JSON.stringify(outline)}` };
    const known = (await journal?.clip(asked)) ?? (await cache?.clip(asked));
    if (known !== undefined) {
      await journal?.keep(asked, known);
      clips.push(withPictures(clip, known.read));
      continue;
    }
    const measured = await unlessAborted(io.signal, measure(join(found.root, original.path), outline));
    if (measured === undefined) {
      clips.push(clip);
      continue;
    }
    const { lookedSeconds, stretches, fault } = measured.coverage;
    const seen = `${Number(lookedSeconds.toFixed(1))} of ${Number(toNumber(length).toFixed(1))} s looked at`;
    const origin: Origin = {
      kind: "measured",
      file: clip.name,
      place: fault === undefined ? seen : `${seen}; ${fault}`,
      reader: `ffmpeg ${ffmpeg.version}`,
    };
    const fact = <T extends object>(
      answer: ({ readonly state: "read" } & T) | { readonly state: "cannot tell"; readonly why: string },
    ): Reading<T> => {
      if (answer.state === "cannot tell") return absent(`cannot tell: ${answer.why}`);
      const { state: _, ...value } = answer;
      return read(value as unknown as T, origin);
    };
    const facts: Facts = {
      lookedAt:
        lookedSeconds > 0
          ? read({ seconds: lookedSeconds, ofSeconds: toNumber(length), stretches }, origin)
          : absent(`cannot tell: ${fault ?? "nothing was looked at"}`),
      measuredAngle: fact(measured.shutterAngle),
      noise: fact(measured.noise),
      noiseBeforeCoding: fact(measured.noiseBeforeCoding),
      repeats: fact(measured.repeats),
      flicker: fact(measured.flicker),
      pictureLevels: fact(measured.exposure),
      exposureDrift: fact(measured.drift),
      horizon: fact(measured.horizon),
      combing: fact(measured.combing),
      sharpness: fact(measured.sharpness),
      motion: fact(measured.motion),
      stillness:
        lookedSeconds > 0
          ? read({ black: measured.black, frozen: measured.frozen }, origin)
          : absent(`cannot tell: ${fault ?? "nothing was looked at"}`),
    };
    const pictures: Clip = { ...clip, facts, readers: [`ffmpeg ${ffmpeg.version}`] };
    clips.push(withPictures(clip, pictures));
    // What went wrong may go well another time.
    if (fault === undefined && (journal ?? cache) !== undefined && (await isUnchanged(found))) {
      await journal?.keep(asked, { read: pictures });
      await cache?.keep(asked, { read: pictures });
    }
  }
  io.progress("");
  return { ...reading, clips, partial: reading.partial || io.signal.aborted };
}

/** A clip with what its pictures said added to its facts. */
const withPictures = (clip: Clip, pictures: Pick<Clip, "facts" | "readers">): Clip => ({
  ...clip,
  facts: { ...clip.facts, ...pictures.facts },
  readers: [...clip.readers, ...pictures.readers],
});

/** The answer, or undefined when the work was interrupted. */
async function unlessAborted<T>(signal: AbortSignal, work: Promise<T>): Promise<T | undefined> {
  try {
    return await work;
  } catch (error) {
    if (signal.aborted) return undefined;
    throw error;
  }
}
