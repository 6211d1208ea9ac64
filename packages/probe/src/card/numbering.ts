import type { CardRemark } from "@goodgate/model";
import { baseName, byCodeUnits, foldedName, folderOf, stemOf } from "./kinds.ts";

/** A hole wider than this is a jump of the counter (another card in between), not missing recordings. */
const widestGap = 50;
/** Numbers listed one by one in a remark. */
const mostListed = 10;

/** The running number a camera put into a name, and what stands around it. */
export interface NumberedName {
  /** The name with its number cut out, without regard to case; equal for names of one count. */
  readonly around: string;
  readonly number: number;
  readonly digits: number;
}

/** Reads the running number: the last group of three to six digits of the stem; date stamps (eight or more) are passed over. */
export function numberedName(path: string): NumberedName | undefined {
  const stem = foldedName(stemOf(baseName(path)));
  // DCF (CIPA DC-009): four free characters, then four digits; digits among the free ones are not of the count.
  if (/^[a-z0-9_]{4}\d{4}$/.test(stem))
    return { around: `${stem.slice(0, 4)}|`, number: Number(stem.slice(4)), digits: 4 };
  let best: { readonly at: number; readonly text: string } | undefined;
  for (const match of stem.matchAll(/\d+/g)) {
    if (match[0].length >= 3 && match[0].length <= 6) best = { at: match.index, text: match[0] };
  }
  if (best === undefined) return undefined;
  const around = `${stamped(stem.slice(0, best.at))}|${stamped(stem.slice(best.at + best.text.length))}`;
  return { around, number: Number(best.text), digits: best.text.length };
}

/** Date stamps differ from file to file and count nothing. */
const stamped = (text: string): string => text.replace(/\d{8,}/g, "#");

/** Remarks on holes in the running numbers and on names that a case-blind disk would overwrite. */
export function numberingRemarks(paths: readonly string[]): readonly CardRemark[] {
  return [...gaps(paths), ...collisions(paths)];
}

function gaps(paths: readonly string[]): readonly CardRemark[] {
  const counts = new Map<string, Map<number, string>>();
  for (const path of paths) {
    const numbered = numberedName(path);
    if (numbered === undefined) continue;
    const key = `${numbered.around}/${numbered.digits}`;
    const numbers = counts.get(key) ?? new Map<number, string>();
    numbers.set(numbered.number, path);
    counts.set(key, numbers);
  }
  const remarks: CardRemark[] = [];
  for (const [key, numbers] of counts) {
    const top = highestNumber(Number(key.slice(key.lastIndexOf("/") + 1)));
    const sorted = inCountOrder([...numbers], top);
    sorted.slice(1).forEach(([number, path], place) => {
      const [before, earlier] = sorted[place] as [number, string];
      const missing = stepsBetween(before, number, top) - 1;
      if (missing < 1) return;
      const nth = (index: number): number => ((before + index) % top) + 1;
      const list =
        missing === 1
          ? `number ${nth(0)} is`
          : missing <= mostListed
            ? `numbers ${Array.from({ length: missing }, (_, index) => nth(index)).join(", ")} are`
            : `numbers ${nth(0)} to ${nth(missing - 1)} are`;
      const kind = missing > widestGap ? "number-jump" : "number-gap";
      const says = `${list} missing between ${earlier} and ${path}: deleted, on another card or in internal storage`;
      remarks.push({ kind, says, paths: [earlier, path] });
    });
  }
  return remarks;
}

/** A count of four digits goes from 9999 to 0001 (DCF, CIPA DC-009); others are taken to do alike. */
export const highestNumber = (digits: number): number => 10 ** digits - 1;

/** How far a count went from one number to another, over its end when the second is the lower one. */
export const stepsBetween = (before: number, after: number, top: number): number =>
  after > before ? after - before : after - before + top;

/**
 * Numbers in the order a camera gave them: ascending, but from behind the widest hole on when numbers lie near both
 * ends of the count, for then it began anew on this card.
 */
function inCountOrder(
  numbers: readonly (readonly [number, string])[],
  top: number,
): readonly (readonly [number, string])[] {
  const sorted = [...numbers].sort((a, b) => a[0] - b[0]);
  const [first, last] = [sorted[0]?.[0] ?? 0, sorted.at(-1)?.[0] ?? 0];
  if (stepsBetween(last, first, top) > widestGap) return sorted;
  let widest = 0;
  let start = 0;
  sorted.forEach(([number], place) => {
    const hole = place === 0 ? 0 : number - (sorted[place - 1] as readonly [number, string])[0];
    if (hole > widest) [widest, start] = [hole, place];
  });
  return widest > widestGap ? [...sorted.slice(start), ...sorted.slice(0, start)] : sorted;
}

function collisions(paths: readonly string[]): readonly CardRemark[] {
  const remarks: CardRemark[] = [];
  const report = (kind: string, key: (path: string) => string, says: (list: string) => string): void => {
    const groups = new Map<string, string[]>();
    for (const path of paths) groups.set(key(path), [...(groups.get(key(path)) ?? []), path]);
    for (const group of groups.values()) {
      if (group.length > 1) remarks.push({ kind, says: says(group.join(", ")), paths: group.sort(byCodeUnits) });
    }
  };
  report(
    "case-collision",
    foldedName,
    (list) => `these names are one on most disks, and a copy would lose all but one: ${list}`,
  );
  report(
    "name-collision",
    (path) => (folderOf(path) === "" ? path : foldedName(baseName(path))),
    (list) => `one name in several folders; copied into one folder they overwrite each other: ${list}`,
  );
  // Names that differ by case alone are listed once, under the graver kind.
  const grave = new Set(remarks.filter((one) => one.kind === "case-collision").map((one) => one.paths.join("\n")));
  return remarks.filter((one) => one.kind === "case-collision" || !grave.has(one.paths.join("\n")));
}
