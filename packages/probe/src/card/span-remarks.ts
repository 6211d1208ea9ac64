import type { CardRemark, Clip } from "@goodgate/model";
import { isFullSize, pairs, partName } from "./join-spans.ts";

/** Remarks on parts that are not on the card; to be asked for after `joinSpans`. */
export function spanRemarks(clips: readonly Pick<Clip, "files" | "joints" | "notFootage">[]): readonly CardRemark[] {
  const remarks: CardRemark[] = [];
  const byRecording = new Map<string, { readonly part: number; readonly path: string }[]>();
  for (const clip of clips) {
    if (clip.notFootage !== undefined) continue;
    const parts = clip.files.filter((file) => file.role === "original" || file.role === "part");
    for (const file of parts) {
      const named = partName(file.path);
      if (named === undefined) continue;
      const part = { part: named.part, path: file.path };
      byRecording.set(named.recording, [...(byRecording.get(named.recording) ?? []), part]);
    }
    const first = parts[0] === undefined ? undefined : partName(parts[0].path);
    if (clip.joints.length > 0 && parts[0] !== undefined && first !== undefined && first.part > 1) {
      const says = `${parts[0].path} is part ${first.part} and none before it is here: the beginning may be missing`;
      remarks.push({ kind: "span-part-missing", says, paths: [parts[0].path] });
    }
    const last = parts.at(-1);
    if (clip.joints.length > 0 && last !== undefined && isFullSize(last.bytes)) {
      const says = `${last.path} is as large as a file may grow and no part follows: the end may be missing`;
      remarks.push({ kind: "span-part-missing", says, paths: [last.path] });
    }
  }
  for (const parts of byRecording.values()) {
    if (parts.length < 2) continue;
    const sorted = parts.sort((a, b) => a.part - b.part);
    pairs(sorted).forEach(([a, b]) => {
      const missing = b.part - a.part - 1;
      if (missing < 1) return;
      const says = `${missing === 1 ? "a part is" : `${missing} parts are`} missing between ${a.path} and ${b.path}`;
      remarks.push({ kind: "span-part-missing", says, paths: [a.path, b.path] });
    });
  }
  return remarks;
}
