import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { sampleReport } from "./sample-report.ts";
import { reportJsonSchema, reportSchema, reportVersion, volatileFields } from "./schema.ts";

test("the published schema is that of the code", () => {
  const published = readFileSync(new URL("../../../docs/report.schema.json", import.meta.url), "utf8");
  expect(JSON.parse(published)).toEqual(JSON.parse(JSON.stringify(reportJsonSchema())));
});

test("a report says the version of its shape", () => {
  expect(sampleReport().format.version).toBe(reportVersion);
});

test("every field named as differing between two audits exists", () => {
  for (const path of volatileFields) {
    const [part = "", key = ""] = path.split(".");
    const shape = reportSchema.shape[part as "audit"].shape;
    expect(Object.keys(shape)).toContain(key);
  }
});

test("a ratio without a denominator is refused", () => {
  const report = sampleReport();
  const clip = report.clips[0];
  if (clip === undefined) throw new Error("no clip");
  const wrong = { ...report, clips: [{ ...clip, plan: { ...clip.plan, speed: "1" } }] };
  expect(reportSchema.safeParse(wrong).success).toBe(false);
});
