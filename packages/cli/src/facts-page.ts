import { type Clip, listOf } from "@goodgate/model";
import type { FlatFacts } from "@goodgate/report/facts";
import type { Io } from "./io.ts";
import type { CardReading } from "./read-card.ts";

/** How `goodgate facts` prints. */
export interface FactsPageOptions {
  readonly json?: boolean;
  readonly jsonl?: boolean;
  readonly positions?: boolean;
  /** For a file on the card the path its flat line states; undefined leaves the line out. All as they are by default. */
  readonly pathOf?: (path: string) => string | undefined;
}

/**
 * The page of `goodgate facts`, piece by piece, so that ten thousand clips need no more memory than one: text for reading,
 * JSON in the report's shape, or one flat line a file.
 */
export async function* factsPieces(
  reading: CardReading,
  options: FactsPageOptions,
  io: Pick<Io, "columns">,
): AsyncGenerator<string> {
  const { flatFacts, flatNotFootage, reportFacts } = await import("@goodgate/report/facts");
  const positions = options.positions !== false;
  if (options.jsonl === true) {
    const lines = new Map<string, FlatFacts>();
    // Skipped folders have no size and are no files.
    for (const { path, bytes, hasSound } of reading.skipped) {
      if (bytes !== undefined) lines.set(path, flatNotFootage(path, hasSound));
    }
    for (const still of reading.stills) for (const file of still.files) lines.set(file.path, flatNotFootage(file.path));
    for (const clip of reading.clips) {
      for (const file of clip.files) {
        const proxy = file.role === "proxy" && clip.proxyFacts !== undefined;
        if (proxy) lines.set(file.path, flatFacts({ ...clip, name: file.path, facts: clip.proxyFacts }));
        else if (file.role !== "original" && file.role !== "part") lines.set(file.path, flatNotFootage(file.path));
      }
      lines.set(clip.name, flatFacts(clip));
    }
    const pathOf = options.pathOf ?? ((path: string) => path);
    for (const [name, line] of [...lines.entries()].sort(([a], [b]) => (a < b ? -1 : 1))) {
      const path = pathOf(name);
      if (path !== undefined) yield `${JSON.stringify({ ...line, path })}\n`;
    }
    return;
  }
  const { stillFacts } = await import("@goodgate/report/still-facts");
  const clips = listOf(reading.clips.length, (place) => {
    const clip = reading.clips.at(place) as Clip;
    return {
      name: clip.name,
      files: clip.files.map((file) => file.path),
      facts: reportFacts(clip.facts, { positions }),
      readers: clip.readers,
      cost: clip.cost,
      disagreements: clip.disagreements ?? [],
    };
  });
  const stills = reading.stills.map((still) => ({
    name: still.name,
    files: still.files.map((file) => file.path),
    facts: stillFacts(still, { positions }),
    readers: ["exifr"],
    cost: still.cost,
    disagreements: [],
  }));
  if (options.json === true) {
    const { textPieces } = await import("@goodgate/report/json");
    yield* textPieces({ clips, stills, skipped: reading.skipped });
    yield "\n";
    return;
  }
  const { renderFacts } = await import("@goodgate/report/facts-text");
  let apart = "";
  for (const entries of [clips, stills]) {
    for (const entry of entries) {
      yield apart + renderFacts([entry], io.columns);
      apart = "\n";
    }
  }
  if (apart === "") yield renderFacts([], io.columns);
}
