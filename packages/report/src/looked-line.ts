import { counted, shortNumber } from "./fact-values.ts";
import type { Report } from "./schema.ts";

/** How much of the pictures was looked at, as a sentence; undefined when nobody asked them. */
export function lookedLine(report: Report): string | undefined {
  let [clips, seconds, of] = [0, 0, 0];
  for (const { facts } of report.clips) {
    const value = facts["lookedAt"]?.state === "read" ? facts["lookedAt"].value : undefined;
    if (typeof value !== "object" || value === null) continue;
    const [part, whole] = [Number(Reflect.get(value, "seconds")), Number(Reflect.get(value, "ofSeconds"))];
    if (!Number.isFinite(part) || !Number.isFinite(whole)) continue;
    clips += 1;
    seconds += part;
    of += whole;
  }
  if (clips === 0) return undefined;
  const [part, whole] = [shortNumber(seconds, 1), shortNumber(of, 1)];
  const looked = part === whole ? `all ${whole} s` : `${part} of ${whole} s`;
  return `Pictures: ${looked} looked at in ${counted(clips, "clip")} of ${report.clips.length}.${part === whole ? "" : " The rest was not seen."}`;
}
