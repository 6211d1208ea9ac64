import { clipText, ClipTextError, parseClip } from "../../packages/model/src/model.ts";
import { BriefError, parseBrief } from "../../packages/model/src/brief-file.ts";
import { parseReport, ReportError } from "../../packages/report/src/parse-report.ts";
import { ManifestError, parseChecksumList } from "../../packages/seal/src/seal.ts";
import { parseAnswer } from "../../packages/probe/src/ffprobe/answer.ts";
import { mostProbeBytes } from "../../packages/probe/src/ffprobe/run-ffprobe.ts";
import { auditPages } from "../../packages/cli/src/audit-pages.ts";
import type { AuditedClip, FolderAudit } from "./audit-folder.ts";
import { mutate } from "./mutate.ts";
import { applyEdits, type Recipe, randomFrom } from "./recipe.ts";

/** Name that stands for a sample in recipes of texts that are no files of a card. */
export const textSample = "texts";

interface Text {
  readonly text: string;
  /** Reads it; anything thrown but the reader's own error is a crash. */
  readonly read: (bytes: Buffer) => unknown;
  readonly mayThrow: readonly (new (...args: never[]) => Error)[];
}

const ffprobeAnswer = JSON.stringify({
  streams: [
    {
      index: 0,
      codec_type: "video",
      codec_name: "h264",
      width: 64,
      height: 36,
      r_frame_rate: "25/1",
      avg_frame_rate: "25/1",
      time_base: "1/1000",
      duration: "4.0",
      tags: { rotate: "90" },
      side_data_list: [{ rotation: -90 }],
    },
    { index: 1, codec_type: "subtitle", codec_name: "subrip" },
  ],
  format: { format_name: "matroska,webm", duration: "4.0", size: "12345", tags: { title: "x" } },
});

/** The texts goodgate reads that are not on a card. */
export function texts(of: FolderAudit, brief: string): ReadonlyMap<string, Text> {
  const clip = [...of.clips.values()][0] as AuditedClip;
  const hash = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
  return new Map<string, Text>([
    [
      "brief.yaml",
      {
        text: brief,
        read: (bytes) => parseBrief(bytes.toString("utf8"), "brief.yaml"),
        mayThrow: [BriefError],
      },
    ],
    [
      "report.json",
      {
        text: JSON.stringify(of.report),
        read: (bytes) => auditPages(parseReport(bytes.toString("utf8"))),
        mayThrow: [ReportError],
      },
    ],
    [
      "card.sha256",
      {
        text: `${hash}  DCIM/FLY_0001.MP4\n\\${hash}  back\\\\slash\\nname\n`,
        read: (bytes) => parseChecksumList(bytes),
        mayThrow: [ManifestError],
      },
    ],
    [
      "journal",
      { text: clipText(clip.clip), read: (bytes) => parseClip(bytes.toString("utf8")), mayThrow: [ClipTextError] },
    ],
    [
      "ffprobe.json",
      {
        text: ffprobeAnswer,
        // No longer answer is ever handed on.
        read: (bytes) => parseAnswer(bytes.subarray(0, mostProbeBytes).toString("utf8")),
        mayThrow: [],
      },
    ],
  ]);
}

/** The change of a number to one of the texts. */
export function textRecipe(all: ReadonlyMap<string, Text>, seed: number): Recipe {
  const random = randomFrom(seed * 2_654_435_761);
  const names = [...all.keys()];
  const file = names[Math.floor(random() * names.length)] as string;
  const bytes = Buffer.from((all.get(file) as Text).text);
  return { sample: textSample, file, edits: mutate(bytes, bytes, random).edits };
}

/** Reads a changed text; gives what was wrong, or undefined. */
export async function tryText(all: ReadonlyMap<string, Text>, recipe: Recipe): Promise<string | undefined> {
  const of = all.get(recipe.file);
  if (of === undefined) return `no text ${recipe.file}`;
  try {
    await of.read(applyEdits(Buffer.from(of.text), recipe.edits));
    return undefined;
  } catch (error) {
    if (of.mayThrow.some((kind) => error instanceof kind)) return undefined;
    return `threw ${error instanceof Error ? (error.stack ?? "").split("\n").slice(0, 4).join(" | ") : String(error)}`;
  }
}
