import { expect, test } from "vitest";
import { docPages, stalePages } from "./write-docs.ts";

test("the committed pages of rules and cases are those the code gives", () => {
  expect(docPages().size).toBeGreaterThan(20);
  expect(stalePages()).toEqual([]);
});
