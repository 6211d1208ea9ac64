import { type CardRemark, valueOf } from "@goodgate/model";
import type { ClipHead } from "./clip-head.ts";
import { byCodeUnits } from "./kinds.ts";
import { numberedName } from "./numbering.ts";

/** Clocks written to whole seconds, and recordings whose clock is that of their end: less is no step back. House limit. */
const slackMilliseconds = 60_000;
/** Numbers further apart may lie on both sides of a count that began anew. */
const widestGap = 50;
/** Remarks listed; a card mixed of two cameras would have one for every other clip. */
const mostRemarks = 16;

/**
 * Remarks on clips that are numbered later and state an earlier start: the clock was changed in between, or clips of two
 * cameras lie on one card. Clocks in doubt and clocks of another kind are not compared.
 */
export function clockOrderRemarks(clips: readonly ClipHead[]): readonly CardRemark[] {
  const counts = new Map<string, { readonly number: number; readonly clip: ClipHead; readonly at: number }[]>();
  for (const clip of clips) {
    const created = clip.facts.createdAt;
    const numbered = numberedName(clip.name);
    if (numbered === undefined || created?.state !== "read" || created.value.suspect !== undefined) continue;
    const camera = valueOf(clip.facts.serialNumber) ?? valueOf(clip.facts.cameraModel) ?? "";
    const key = [numbered.around, numbered.digits, camera, created.value.zone, created.origin.kind].join("\n");
    const list = counts.get(key) ?? [];
    list.push({ number: numbered.number, clip, at: created.value.epochMilliseconds });
    counts.set(key, list);
  }
  const remarks: CardRemark[] = [];
  for (const list of counts.values()) {
    const sorted = list.sort((a, b) => a.number - b.number || byCodeUnits(a.clip.name, b.clip.name));
    sorted.slice(1).forEach((later, place) => {
      const before = sorted[place];
      if (before === undefined || later.number === before.number || later.number - before.number > widestGap) return;
      const back = before.at - later.at;
      if (back <= slackMilliseconds) return;
      const says = `the clock of ${later.clip.name} is ${lengthText(back)} before that of ${before.clip.name}, numbered earlier: it was changed in between`;
      remarks.push({ kind: "clock-runs-back", says, paths: [before.clip.name, later.clip.name] });
    });
  }
  return remarks.slice(0, mostRemarks);
}

function lengthText(milliseconds: number): string {
  const minutes = Math.round(milliseconds / 60_000);
  if (minutes < 120) return `${minutes} min`;
  return minutes < 2880 ? `${Math.round(minutes / 60)} h` : `${Math.round(minutes / 1440)} days`;
}
