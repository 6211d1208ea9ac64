import { performance } from "node:perf_hooks";
import { expect, test } from "vitest";
import { parseReport, ReportError } from "../parse-report.ts";
import { type KeyOrder, reportOrder } from "../report-order.ts";
import { bigReport, emptyReport, hostileReport, sampleReport } from "../sample-report.ts";
import { type Report, reportJsonSchema } from "../schema.ts";
import { renderJson } from "./json.ts";

test.each([
  ["golden", sampleReport()],
  ["hostile", hostileReport()],
  ["empty", emptyReport()],
])("the %s report is read back as it was", (_, report) => {
  expect(parseReport(renderJson(report))).toEqual(report);
});

test("the text does not depend on the order in which a report was put together", () => {
  const reversed = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(reversed);
    if (typeof value !== "object" || value === null) return value;
    return Object.fromEntries(
      Object.entries(value)
        .toReversed()
        .map(([key, item]) => [key, reversed(item)]),
    );
  };
  expect(renderJson(reversed(sampleReport()) as Report)).toBe(renderJson(sampleReport()));
});

interface JsonSchema {
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly additionalProperties?: JsonSchema | boolean;
  readonly items?: JsonSchema;
}

function compareOrder(schema: JsonSchema, order: KeyOrder | undefined, path: string): void {
  if (schema.items !== undefined) return compareOrder(schema.items, order, path);
  for (const [key, inner] of Object.entries(schema.properties ?? {})) {
    compareOrder(inner, order?.inside?.[key], `${path}.${key}`);
  }
  if (schema.properties !== undefined) {
    expect([path, order?.keys]).toEqual([path, Object.keys(schema.properties)]);
  } else if (typeof schema.additionalProperties === "object") {
    compareOrder(schema.additionalProperties, order?.each, `${path}.*`);
  }
}

test("the order of keys is that of the schema", () => {
  // The schema with its references resolved would hide amounts with and without an origin; those share one order.
  const schema = JSON.parse(JSON.stringify(reportJsonSchema())) as JsonSchema;
  const text = JSON.stringify(schema, (key, value: JsonSchema) =>
    key === "measured" && value.properties !== undefined
      ? { ...value, properties: { ...value.properties, origin: {} } }
      : value,
  );
  compareOrder(JSON.parse(text) as JsonSchema, reportOrder, "report");
});

test("the text has two spaces a level, one newline at its end, and points of a series on one line", () => {
  const text = renderJson(sampleReport());
  expect(text.startsWith('{\n  "format": {\n    "name": "goodgate report",')).toBe(true);
  expect(text.endsWith("\n}\n")).toBe(true);
  expect(text).toMatch(/"points": \[\[0,100\],\[5,110\]/);
});

test("nothing in the text makes a terminal or an editor act", () => {
  const text = renderJson(hostileReport());
  expect(text.replaceAll("\n", "")).not.toMatch(/[\p{Cc}\p{Cf}\u2028\u2029]/u);
  expect(() => encodeURIComponent(text)).not.toThrow(); // throws on a lone surrogate
});

test.each([
  ["", /^old\.json: not JSON: [^\n]+$/],
  ["[]", /^old\.json: Invalid input/],
  ["null", /^old\.json: Invalid input/],
  [JSON.stringify({ format: { name: "goodgate report", version: "2.0" } }), /^old\.json: a report of version 2\.0/],
  [renderJson(sampleReport()).replace('"verdict": "clean"', '"verdict": "fine"'), /^old\.json: clips\.0\.verdict: /],
])("a text that is no report is refused in one line (%#)", (text, says) => {
  expect(() => parseReport(text, "old.json")).toThrow(ReportError);
  expect(() => parseReport(text, "old.json")).toThrow(says);
});

test("2,000 clips are written in well under five seconds", () => {
  const report = bigReport(2000);
  const began = performance.now();
  const text = renderJson(report);
  expect(performance.now() - began).toBeLessThan(5000); // the aim is one; the test machines are shared
  expect(text.length).toBeGreaterThan(1e6);
});
