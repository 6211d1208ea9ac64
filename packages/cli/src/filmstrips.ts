import { join } from "node:path";
import { toNumber, valueOf } from "@goodgate/model";
import pLimit from "p-limit";
import { CommandError } from "./command-error.ts";
import type { Io } from "./io.ts";
import type { CardReading } from "./read-card.ts";

/** Strips made at a time: a decoder uses a core by itself. */
const stripsAtOnce = 2;
/** A page larger than this opens slowly on a phone. */
const largePageBytes = 20_000_000;

/** A filmstrip of each clip by its name, as base64. Throws a CommandError when there is no ffmpeg. */
export async function makeFilmstrips(reading: CardReading, io: Io): Promise<ReadonlyMap<string, string>> {
  const [{ findFfmpeg }, { makeFilmstrip }] = await Promise.all([
    import("@goodgate/measure/find-ffmpeg"),
    import("@goodgate/measure/filmstrip"),
  ]);
  const ffmpeg = await findFfmpeg();
  if (ffmpeg === undefined) {
    throw new CommandError("--pictures needs ffmpeg, and none was found: install it, or name one in FFMPEG_PATH");
  }
  const places = new Map(
    reading.card.clips.map((found) => {
      const original = found.files.find((file) => file.role === "original");
      return [found.name, original === undefined ? undefined : join(found.root, original.path)];
    }),
  );
  const strips = new Map<string, string>();
  const limit = pLimit(stripsAtOnce);
  let done = 0;
  await Promise.all(
    Array.from(reading.clips, (clip) =>
      limit(async () => {
        const place = places.get(clip.name);
        const length =
          valueOf(clip.facts.usableSeconds) ?? valueOf(clip.facts.mediaSeconds) ?? valueOf(clip.facts.durationSeconds);
        if (!io.signal.aborted && place !== undefined && length !== undefined) {
          const strip = await makeFilmstrip(ffmpeg.path, place, toNumber(length), io.signal);
          if ("jpeg" in strip) strips.set(clip.name, strip.jpeg.toString("base64"));
          else io.tell(`${clip.name}: no pictures: ${strip.fault}`);
        }
        done += 1;
        io.progress(`pictures of ${done} of ${reading.clips.length} clips`);
      }),
    ),
  );
  io.progress("");
  const bytes = [...strips.values()].reduce((sum, text) => sum + text.length, 0);
  if (bytes > largePageBytes)
    io.tell(`report.html holds ${Math.round(bytes / 1e6)} MB of pictures and will open slowly on a phone`);
  return strips;
}
