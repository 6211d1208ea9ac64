export type { ClipReport, FactReport, FindingReport, Report, StillReport } from "./schema.ts";
