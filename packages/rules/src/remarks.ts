import type { Card, CardRemark } from "@goodgate/model";
import { fitted } from "./words.ts";
import type { CardAnswer, CardFound, SettledClip } from "./rule.ts";

/** The remarks of some kinds as findings; passed when there is none. */
export function remarksOf(card: Card, kinds: readonly string[], found: (remark: CardRemark) => CardFound): CardAnswer {
  const all = card.remarks.filter((remark) => kinds.includes(remark.kind)).map(found);
  return all.length === 0 ? "passed" : all;
}

/** A remark with file names for paths, up to its first colon or semicolon, made to fit `most` characters. */
export function remarkText(remark: CardRemark, most: number): string {
  const named = remark.paths.reduce(
    (says, path) => says.replaceAll(path, path.slice(path.lastIndexOf("/") + 1)),
    remark.says,
  );
  const [head = named] = named.split(/[:;] /);
  return fitted(`${head.slice(0, 1).toUpperCase()}${head.slice(1)}`, most);
}

/** Bytes of a clip's own files, its parts included. */
export const sizeOf = ({ clip }: SettledClip): number =>
  clip.files.reduce((sum, file) => (file.role === "original" || file.role === "part" ? sum + file.bytes : sum), 0);
