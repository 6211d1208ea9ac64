import type { Card, CardRemark } from "@goodgate/model";
import { cannotTell } from "./rule.ts";
import { counted, fitted } from "./words.ts";
import type { CardAnswer, CardFound, SettledClip, Unsure } from "./rule.ts";

/** The remarks of some kinds as findings; without one passed, or unknown where a part of the tree was not looked at. */
export function remarksOf(
  card: Card,
  kinds: readonly string[],
  what: string,
  found: (remark: CardRemark) => CardFound,
): CardAnswer {
  const all = card.remarks.filter((remark) => kinds.includes(remark.kind)).map(found);
  return all.length === 0 ? (unseenPlaces(card, what) ?? "passed") : all;
}

/** Why a question about the folder tree has no answer: places that nobody could look at. Nothing found is no pass. */
export function unseenPlaces(card: Card, what: string): Unsure | undefined {
  const places = card.skipped.filter(({ unread }) => unread === true).length;
  if (places === 0 && !card.remarks.some(({ kind }) => kind === "too-many-entries")) return undefined;
  const where = places === 0 ? "The rest of the card" : counted(places, "place");
  return cannotTell(
    `${where} could not be looked at: ${what} is not known.`,
    ["folder tree"],
    "a card that can be listed whole, or its folders one by one",
    true,
  );
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
