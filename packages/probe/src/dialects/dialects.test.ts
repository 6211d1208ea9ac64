import { readdirSync } from "node:fs";
import { expect, test } from "vitest";
import { dialects } from "./dialects.ts";

test("every dialect file is listed once, has its name as id and a test beside it", () => {
  const files = readdirSync(new URL(".", import.meta.url));
  const ids = dialects.map(({ id }) => id);
  expect(new Set(ids).size).toBe(ids.length);
  for (const id of ids) expect(files).toEqual(expect.arrayContaining([`${id}.ts`, `${id}.test.ts`]));
  const shared = new Set(["dialect", "dialects", "values", "clock", "plain-text", "position", "colon-settings"]);
  const own = files
    .filter((file) => file.endsWith(".ts") && !file.endsWith(".test.ts"))
    .map((file) => file.slice(0, -3))
    .filter((name) => !shared.has(name) && name !== "bracketed-keys" && name !== "bracketed-stretch");
  expect(own.sort()).toEqual(ids.toSorted());
});
