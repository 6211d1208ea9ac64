import type { Report } from "@goodgate/report";

/** What the program says to the shell. */
export const exitCodes = {
  /** Every clip is clean or workable. */
  good: 0,
  /** Some clip is to be flown again, unknown or unreadable. */
  notGood: 1,
  /** The command was wrong. */
  wrongCommand: 2,
  /** goodgate itself failed. */
  failed: 3,
  /** Interrupted: 128 + signal 2, common practice. */
  interrupted: 130,
} as const;

/**
 * Exit code of an audit: an interrupted one first, then by the worst verdict. A card without clips is not good, nor is one
 * with places that could not be looked at.
 */
export function auditExitCode(report: Pick<Report, "partial" | "counts" | "audit">): number {
  if (report.partial) return exitCodes.interrupted;
  const { clips, stills, reshoot, unknown } = report.counts;
  if (clips === 0 && stills === 0) return exitCodes.notGood;
  const unread = report.audit.skipped.some((each) => each.unread === true);
  return reshoot + unknown > 0 || unread ? exitCodes.notGood : exitCodes.good;
}
