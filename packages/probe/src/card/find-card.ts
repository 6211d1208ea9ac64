import { statfs } from "node:fs/promises";
import type { Card } from "@goodgate/model";
import { groupFiles } from "./group.ts";
import { byCodeUnits } from "./kinds.ts";
import { recogniseLayout } from "./layout.ts";
import { numberingRemarks } from "./numbering.ts";
import { walk } from "./walk.ts";

/**
 * What lies under the paths given: recordings with the files beside them, photographs, what was skipped and why, and
 * what is odd about the tree. By names and sizes alone; no file is opened. The order is by path and the same on every
 * machine. Nothing that is wrong with a card throws; only an aborted signal does.
 */
export async function findCard(paths: readonly string[], signal: AbortSignal): Promise<Card> {
  const found = await walk(paths, signal);
  const groups = groupFiles(found.files);
  const all = found.files.map((file) => file.path);
  const recordings = groups.clips.map((clip) => clip.name);
  const pictures = groups.stills.map((still) => still.name);
  const onlyFiles =
    found.files.every((file) => file.asked || found.folders.length === 0) && found.files.some((file) => file.asked);
  const freeBytes = await freeSpace(found.anyFolder);
  return {
    label: found.label,
    layout: recogniseLayout(all, found.folders, !onlyFiles),
    clips: [...groups.clips].sort((a, b) => byCodeUnits(a.name, b.name)),
    stills: [...groups.stills].sort((a, b) => byCodeUnits(a.name, b.name)),
    skipped: [...found.skipped, ...groups.skipped].sort((a, b) => byCodeUnits(a.path, b.path)),
    // Stills and clips share one count on most cameras, so holes are looked for in both together.
    remarks: [...found.remarks, ...groups.remarks, ...numberingRemarks([...recordings, ...pictures])].sort(
      (a, b) => byCodeUnits(a.kind, b.kind) || byCodeUnits(a.paths.join("\n"), b.paths.join("\n")),
    ),
    fileCount: found.files.length,
    totalBytes: found.files.reduce((sum, file) => sum + file.bytes, 0),
    ...(freeBytes === undefined ? {} : { freeBytes }),
  };
}

async function freeSpace(folder: string | undefined): Promise<number | undefined> {
  if (folder === undefined) return undefined;
  try {
    const status = await statfs(folder);
    const bytes = status.bavail * status.bsize;
    return Number.isSafeInteger(bytes) && bytes >= 0 ? bytes : undefined;
  } catch {
    return undefined;
  }
}
