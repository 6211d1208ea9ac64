import type { List } from "@goodgate/model";
import type { ClipReport } from "./schema.ts";

/** ISO 8601 as the report writes it; the zone is there only when it is known. */
const isoTime = /^(\d{4})-(\d\d)-(\d\d)[T ](\d\d):(\d\d)(?::(\d\d(?:\.\d+)?))?(Z|[+-]\d\d:?\d\d)?$/;

/** No camera clock that was ever set says less: counting from 1904 or 1970 means it never was. */
const firstYear = 2000;

/**
 * When a clip was recorded, in milliseconds since 1970, for putting clips in order; a time without a zone counts as UTC.
 * Undefined when it is not known or not to be believed.
 */
export function recordedAt(clip: Pick<ClipReport, "facts">): number | undefined {
  const fact = clip.facts["createdAt"];
  if (fact?.state !== "read" || typeof fact.value !== "string") return undefined;
  if (fact.text?.includes("not to be believed") === true) return undefined;
  const match = isoTime.exec(fact.value);
  if (match === null || Number(match[1]) < firstYear) return undefined;
  const zone = match[7] === undefined ? "Z" : match[7].replace(/^([+-]\d\d)(\d\d)$/, "$1:$2");
  const time = Date.parse(`${match[1]}-${match[2]}-${match[3]}T${match[4]}:${match[5]}:${match[6] ?? "00"}${zone}`);
  return Number.isFinite(time) ? time : undefined;
}

const orders = new WeakMap<object, readonly number[]>();

/** Clips in the order they were shot: by time, then by name; clips without a time behind the others. */
export function* inShootingOrder<T extends Pick<ClipReport, "facts" | "name">>(clips: List<T>): Generator<T> {
  let order = orders.get(clips);
  if (order === undefined) orders.set(clips, (order = shootingOrder(clips)));
  for (const place of order) {
    const clip = clips.at(place);
    if (clip !== undefined) yield clip;
  }
}

function shootingOrder(clips: List<Pick<ClipReport, "facts" | "name">>): readonly number[] {
  const shot = Array.from(clips, (clip, place) => ({
    place,
    name: clip.name,
    at: recordedAt(clip) ?? Number.POSITIVE_INFINITY,
  }));
  shot.sort((a, b) => {
    if (a.at !== b.at) return a.at < b.at ? -1 : 1;
    return a.name < b.name ? -1 : a.name > b.name ? 1 : 0;
  });
  return shot.map(({ place }) => place);
}
