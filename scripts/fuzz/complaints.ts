import type { Clip, FactName, Ratio, Still } from "../../packages/model/src/model.ts";
import type { AuditedClip, FolderAudit } from "./audit-folder.ts";
import type { Kind } from "./mutate.ts";

/**
 * What is wrong with the audit of a changed file beside the audit of the file as it was: one sentence, or undefined.
 * Nothing here asks goodgate whether goodgate is right: the claims hold for any file.
 */
export function complaint(before: FolderAudit, after: FolderAudit, kind: Kind, changed: string): string | undefined {
  for (const [name, clip] of after.clips) {
    const wrong = wrongNumbers(clip.clip) ?? ownFault(clip.clip);
    if (wrong !== undefined) return `${name}: ${wrong}`;
    const silent = silentDamage(clip);
    if (silent !== undefined) return `${name}: ${silent}`;
    const was = before.clips.get(name);
    if (was === undefined) continue;
    const same = sameFacts(was, clip);
    if (same && was.judged.verdict !== clip.judged.verdict && after.clips.size === 1 && before.clips.size === 1) {
      return `${name}: the facts are unchanged and the verdict went from ${was.judged.verdict} to ${clip.judged.verdict}`;
    }
    // Half a subtitle file is a shorter subtitle file; half a film is no shorter film.
    if (kind === "cut" && changed === name && !same && isWhole(clip) && isWhole(was)) {
      return `${name}: a cut file counts as whole and says other things: ${different(was, clip).join(", ")}`;
    }
  }
  for (const still of after.stills) {
    const wrong = wrongNumbers(still);
    if (wrong !== undefined) return `${still.name}: ${wrong}`;
  }
  if (!JSON.stringify(after.report).startsWith("{")) return "the report cannot be written";
  const told = new Set([...after.clips.keys(), ...after.report.audit.skipped.map((each) => each.path)]);
  for (const name of before.clips.keys()) {
    if (
      !told.has(name) &&
      ![...after.clips.values()].some(({ clip }) => clip.files.some((file) => file.path === name))
    ) {
      return `${name}: neither judged nor listed as skipped`;
    }
  }
  return undefined;
}

const isWhole = ({ clip }: AuditedClip): boolean => clip.facts.structure?.state === "read";

const different = (a: AuditedClip, b: AuditedClip): readonly string[] =>
  [...new Set([...a.facts.keys(), ...b.facts.keys()])].filter((name) => a.facts.get(name) !== b.facts.get(name));

const sameFacts = (a: AuditedClip, b: AuditedClip): boolean => different(a, b).length === 0;

function ownFault(clip: Clip): string | undefined {
  const damaged = Object.values(clip.facts).find(
    (each) => each?.state === "damaged" && /fault of goodgate/.test(each.why),
  );
  return damaged?.state === "damaged" ? damaged.why : undefined;
}

/** Damage is news: what is damaged is named, and a file that is not whole is not clean. */
function silentDamage({ clip, judged }: AuditedClip): string | undefined {
  const said = judged.findings.length + judged.unknowns.length + judged.suppressed.length;
  const damaged = (Object.keys(clip.facts) as FactName[]).filter((name) => clip.facts[name]?.state === "damaged");
  if (damaged.length > 0 && said === 0) return `${damaged.join(", ")} damaged and nothing is said`;
  if (clip.facts.structure?.state === "damaged" && judged.verdict === "clean") return "not whole and yet clean";
  return undefined;
}

/** No number may be infinite or not a number, no ratio without a denominator, no list out of step. */
function wrongNumbers(clip: Clip | Still): string | undefined {
  const visit = (value: unknown, place: string): string | undefined => {
    if (typeof value === "number") return Number.isFinite(value) ? undefined : `${place} is ${value}`;
    if (typeof value !== "object" || value === null) return undefined;
    const { numerator, denominator } = value as Partial<Ratio>;
    if (typeof numerator === "bigint" && typeof denominator === "bigint") {
      return denominator > 0n ? undefined : `${place} has the denominator ${denominator}`;
    }
    if ("runStarts" in value && "runValues" in value) {
      const series = value as unknown as {
        runStarts: Float64Array;
        runValues: Uint32Array;
        values: unknown[];
        heldMicroseconds: number[];
        coverage: number;
      };
      if (series.runStarts.length !== series.runValues.length) return `${place} has runs out of step`;
      if (series.values.length !== series.heldMicroseconds.length) return `${place} has values out of step`;
      if (series.runValues.some((at) => at >= series.values.length)) return `${place} points past its values`;
      if (series.coverage < 0 || series.coverage > 1) return `${place} covers ${series.coverage}`;
      if (
        series.runStarts.some((start, at) => !Number.isFinite(start) || start < (series.runStarts[at - 1] ?? start))
      ) {
        return `${place} goes back in time`;
      }
    }
    if (ArrayBuffer.isView(value)) return undefined;
    for (const [key, each] of Object.entries(value)) {
      const wrong = visit(each, `${place}.${key}`);
      if (wrong !== undefined) return wrong;
    }
    return undefined;
  };
  if (!("facts" in clip)) return visit(clip, "still");
  const { frames, width, height, frameRate, durationSeconds } = clip.facts;
  for (const [name, reading] of Object.entries({ frames, width, height })) {
    if (reading?.state === "read" && (!Number.isSafeInteger(reading.value) || reading.value < 0))
      return `${name} is ${reading.value}`;
  }
  for (const [name, reading] of Object.entries({ frameRate, durationSeconds })) {
    if (reading?.state === "read" && reading.value.numerator < 0n) return `${name} is negative`;
  }
  return visit(clip.facts, "facts");
}
