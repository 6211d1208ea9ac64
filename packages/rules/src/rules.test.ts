import { readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { caseTable } from "./cases.ts";
import { explain } from "./explain.ts";
import { longestSentence } from "./words.ts";
import { rules } from "./rule-list.ts";
import { answerOf, runExample } from "./run-example.ts";

for (const rule of rules) {
  for (const example of rule.examples) {
    test(`${rule.id}: ${example.title} is ${example.expect}`, () => {
      const outcome = runExample(rule, example);
      expect(answerOf(outcome), JSON.stringify(outcome, bigintAsText)).toBe(example.expect);
    });
  }
}

const bigintAsText = (_key: string, value: unknown): unknown => (typeof value === "bigint" ? String(value) : value);

test("the list of rules, their files and their ids agree", () => {
  const folder = fileURLToPath(new URL("rules", import.meta.url));
  const files = readdirSync(folder).filter((file) => !file.endsWith(".test.ts"));
  expect(files.sort()).toEqual(rules.map((rule) => `${rule.id}.ts`).sort());
  expect(new Set(rules.map((rule) => rule.id)).size).toBe(rules.length);
});

test("a test file beside a rule bears the rule's name", () => {
  const folder = fileURLToPath(new URL("rules", import.meta.url));
  const ids = new Set(rules.map((rule) => `${rule.id}.test.ts`));
  for (const file of readdirSync(folder)) if (file.endsWith(".test.ts")) expect([...ids]).toContain(file);
});

test("every unknown of every example is one short sentence with what would supply the answer", () => {
  let seen = 0;
  for (const rule of rules) {
    for (const example of rule.examples) {
      for (const unknown of runExample(rule, example).unknowns) {
        seen += 1;
        expect(unknown.says.length, unknown.says).toBeLessThanOrEqual(longestSentence);
        expect(unknown.says).not.toMatch(/undefined|NaN|\n|…$/);
        expect(unknown.missing.length, rule.id).toBeGreaterThan(0);
        expect(unknown.supply).not.toBe("");
      }
    }
  }
  expect(seen).toBeGreaterThan(40);
});

test("every rule shows something found, something not found, and what happens without its facts", () => {
  for (const rule of rules) {
    const answers = rule.examples.map((example) => example.expect);
    const found = answers.some((answer) => answer === "note" || answer === "workable" || answer === "reshoot");
    expect(found || answers.includes("unknown"), rule.id).toBe(true);
    expect(
      answers.some((answer) => answer === "passed" || answer === "silent"),
      rule.id,
    ).toBe(true);
    if (rule.needs.length > 0) expect(answers, rule.id).toContain("unknown");
  }
});

test("rules name causes and cases that exist", () => {
  const ids = new Set(rules.map((rule) => rule.id));
  const cases = new Set(caseTable().map((row) => row.id));
  for (const rule of rules) {
    for (const cause of rule.causedBy ?? []) expect([...ids]).toContain(cause);
    for (const id of rule.cases) expect([...cases], rule.id).toContain(id);
    for (const example of rule.examples) {
      for (const finding of runExample(rule, example).findings) {
        if (finding.case !== undefined) expect(rule.cases, rule.id).toContain(finding.case);
      }
    }
  }
});

test("every case of the catalogue has a rule or says why it has none, never both", () => {
  for (const row of caseTable()) {
    if (row.rules.length > 0 && row.notJudged !== undefined) expect([row.id, "both"]).toBe("one");
    expect([row.id, row.rules.length > 0 || row.notJudged !== undefined]).toEqual([row.id, true]);
  }
  expect(new Set(caseTable().map((row) => row.id)).size).toBe(caseTable().length);
});

test("every rule can be explained", () => {
  for (const rule of rules) {
    const text = explain(rule.id);
    expect(text?.explanation, rule.id).not.toBe("");
    expect(text?.sources.length, rule.id).toBeGreaterThan(0);
    expect(text?.limits.length, rule.id).toBeGreaterThan(0);
  }
  expect(explain("no-such-rule")).toBeUndefined();
});
