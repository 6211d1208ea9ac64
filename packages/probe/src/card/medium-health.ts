import type { CardRemark, Still } from "@goodgate/model";
import type { ClipHead } from "./clip-head.ts";

/** Paths named in the remark; all of them are listed beside it. */
const mostNamed = 3;

/**
 * A remark when the system could not read files that it lists: the medium, its reader or the cable is failing, and what
 * still reads has to be copied first.
 */
export function mediumRemarks(clips: readonly ClipHead[], stills: readonly Still[]): readonly CardRemark[] {
  const failed = [...clips, ...stills].filter(({ cost }) => (cost.failures ?? 0) > 0).map(({ name }) => name);
  if (failed.length === 0) return [];
  const named = failed.slice(0, mostNamed).join(", ");
  const more = failed.length > mostNamed ? ` and ${failed.length - mostNamed} more` : "";
  const says = `the system could not read ${named}${more}: copy what still reads, then retire the card`;
  return [{ kind: "medium-fails", says, paths: failed }];
}
