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

/** The page of `goodgate facts`: text for reading, JSON in the report's shape, or one flat line a file. */
export async function buildFactsPage(
  reading: CardReading,
  options: FactsPageOptions,
  io: Pick<Io, "columns">,
): Promise<string> {
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
    return [...lines.entries()]
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .flatMap(([name, line]) => {
        const path = pathOf(name);
        return path === undefined ? [] : [`${JSON.stringify({ ...line, path })}\n`];
      })
      .join("");
  }
  const { stillFacts } = await import("@goodgate/report/still-facts");
  const clips = Array.from(reading.clips, (clip) => ({
    name: clip.name,
    files: clip.files.map((file) => file.path),
    facts: reportFacts(clip.facts, { positions }),
    readers: clip.readers,
    cost: clip.cost,
    disagreements: clip.disagreements ?? [],
  }));
  const stills = reading.stills.map((still) => ({
    name: still.name,
    files: still.files.map((file) => file.path),
    facts: stillFacts(still, { positions }),
    readers: ["exifr"],
    cost: still.cost,
    disagreements: [],
  }));
  if (options.json === true) return `${JSON.stringify({ clips, stills, skipped: reading.skipped }, undefined, 2)}\n`;
  const { renderFacts } = await import("@goodgate/report/facts-text");
  return renderFacts([...clips, ...stills], io.columns);
}
