import { expect, test } from "vitest";
import { verdictOrder, worse } from "./finding.ts";

test("unknown is worse than workable and better than reshoot, and never a pass", () => {
  expect(verdictOrder).toEqual(["clean", "workable", "unknown", "reshoot"]);
  expect(worse("clean", "unknown")).toBe("unknown");
  expect(worse("unknown", "workable")).toBe("unknown");
  expect(worse("unknown", "reshoot")).toBe("reshoot");
  expect(worse("workable", "clean")).toBe("workable");
  for (const verdict of verdictOrder) expect(worse(verdict, verdict)).toBe(verdict);
});
