import { type Report, reportSchema, reportVersion } from "./schema.ts";

/** A text that is not a report; the message is one line and names what is wrong where. */
export class ReportError extends Error {}

/**
 * Reads the text of a report.json. `name` leads the message of a failure when given. Throws a ReportError for text that is not
 * JSON, not a report, or a report of a later kind than this program knows.
 */
export function parseReport(text: string, name = ""): Report {
  const lead = name === "" ? "" : `${name}: `;
  let plain: unknown;
  try {
    plain = JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw new ReportError(oneLine(`${lead}not JSON: ${why}`));
  }
  const version = (plain as { format?: { version?: unknown } } | null)?.format?.version;
  if (typeof version === "string" && version.split(".")[0] !== reportVersion.split(".")[0]) {
    throw new ReportError(oneLine(`${lead}a report of version ${version}; this goodgate reads ${reportVersion}`));
  }
  const result = reportSchema.safeParse(plain);
  if (result.success) return result.data;
  const issue = result.error.issues[0];
  const path = (issue?.path ?? []).map(String).join(".");
  throw new ReportError(oneLine(`${lead}${path === "" ? "" : `${path}: `}${issue?.message ?? "not a report"}`));
}

/** Long enough for a path and a reason, short enough for one look. */
const longestMessage = 300;
const oneLine = (text: string): string => text.replace(/[\s\p{Cc}\p{Cf}]+/gu, " ").slice(0, longestMessage);
