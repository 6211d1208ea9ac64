import type { FactName, Reading, Still } from "@goodgate/model";
import { factReport, leftOut } from "./facts.ts";
import type { FactReport } from "./schema.ts";

/** Facts of a still, in the order a page lists them; the time it was taken stands as `createdAt`. */
const stillFactNames = [
  "shutterSeconds",
  "iso",
  "fNumber",
  "exposureBias",
  "focalLength35mm",
  "width",
  "height",
  "rotationDegrees",
  "location",
] as const satisfies readonly (FactName & keyof Still)[];

/** The facts of one still as the report holds them. */
export function stillFacts(still: Still, options: { readonly positions: boolean }): Record<string, FactReport> {
  const report: Record<string, FactReport> = { createdAt: factReport("createdAt", still.takenAt) };
  for (const name of stillFactNames) {
    const reading: Reading<unknown> = still[name];
    report[name] =
      name === "location" && !options.positions && reading.state !== "absent"
        ? { state: "absent", why: leftOut }
        : factReport(name, reading);
  }
  return report;
}
