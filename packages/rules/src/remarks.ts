import type { Card, CardRemark } from "@goodgate/model";
import type { CardAnswer, CardFound, SettledClip } from "./rule.ts";

/** The remarks of some kinds as findings; passed when there is none. */
export function remarksOf(card: Card, kinds: readonly string[], found: (remark: CardRemark) => CardFound): CardAnswer {
  const all = card.remarks.filter((remark) => kinds.includes(remark.kind)).map(found);
  return all.length === 0 ? "passed" : all;
}

/** Bytes of a clip's own files, its parts included. */
export const sizeOf = ({ clip }: SettledClip): number =>
  clip.files.reduce((sum, file) => (file.role === "original" || file.role === "part" ? sum + file.bytes : sum), 0);
