import { expect, test } from "vitest";
import { isBinary, projectBytes, projectFiles } from "./check-files.ts";

/** Each is put together here, so that this file does not hold what it looks for. */
const unwanted: readonly { readonly what: string; readonly pattern: RegExp }[] = [
  {
    what: "a path of somebody's machine",
    pattern: new RegExp(`(?<![\\w.~<-])/(?:${["work", "home", "Users", "root"].join("|")})/[\\w.-]`),
  },
  { what: "a path of somebody's machine", pattern: new RegExp(`\\b[A-Za-z]:\\\\{1,2}${"Users"}\\b`) },
  { what: "notes that are not part of the project", pattern: new RegExp(`(?<![\\w-])shared${"/"}`) },
  { what: "notes that are not part of the project", pattern: new RegExp(`${"seed"}[ -]document`, "i") },
];

test("no file names a path of somebody's machine, or notes that are not part of the project", () => {
  const found: string[] = [];
  for (const path of projectFiles()) {
    const bytes = projectBytes(path);
    if (isBinary(bytes)) continue;
    bytes
      .toString("utf8")
      .split("\n")
      .forEach((line, place) => {
        for (const { what, pattern } of unwanted) {
          const match = pattern.exec(line);
          if (match !== null) found.push(`${path}:${place + 1} ${what}: ${line.slice(match.index, match.index + 60)}`);
        }
      });
  }
  expect(found).toEqual([]);
});

const hits = (line: string): number => unwanted.filter(({ pattern }) => pattern.test(line)).length;

test("the patterns find what they are for", () => {
  const slash = "/";
  expect(hits(`see ${slash}home${slash}ann/card`)).toBe(1);
  expect(hits(`"C:\\${"Users"}\\ann"`)).toBe(1);
  expect(hits(`from shared${slash}notes.md`)).toBe(1);
  expect(hits(["SEED", "document"].join("-"))).toBe(1);
  expect(hits("packages/model/src, the homework, a shared clock")).toBe(0);
});
