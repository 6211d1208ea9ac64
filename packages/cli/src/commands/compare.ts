import { exitCodes } from "../exit-codes.ts";
import type { Io } from "../io.ts";
import { readReport } from "./report.ts";

/** Says what changed between two reports. Exit code 0 when nothing did, 1 when something did. */
export async function compareCommand(before: string, after: string, io: Io): Promise<number> {
  const [a, b] = await Promise.all([readReport(before), readReport(after)]);
  const { compareReports, renderComparison } = await import("@goodgate/report/compare");
  const comparison = compareReports(a, b);
  io.print(renderComparison(comparison));
  return comparison.same ? exitCodes.good : exitCodes.notGood;
}
