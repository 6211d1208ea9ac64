import { damaged, type Reading, read } from "../../packages/model/src/model.ts";
import { expect, test } from "vitest";
import type { AuditedClip, FolderAudit } from "./audit-folder.ts";
import { complaint } from "./complaints.ts";
import { mutate } from "./mutate.ts";
import { applyEdits, minimised, randomFrom } from "./recipe.ts";
import { keptCrashers, mostBytes, mostCpuMilliseconds, runFuzz } from "./run-fuzz.ts";

/** Files tried here; `npm run fuzz` tries twenty thousand. */
const count = 1000;

test("hostile files neither crash nor hang nor pass, and every one that ever did harm stays tried", async () => {
  const kept = keptCrashers();
  const result = await runFuzz({
    from: 1,
    count,
    workers: 2,
    recipes: kept.map(({ recipe }) => recipe),
    minimise: false,
  });
  expect(result.crashers).toEqual([]);
  expect(result.hangs).toBe(0);
  expect(result.tried).toBe(count + kept.length);
  // A third and more of the changes must reach what is read, else the fuzzing has gone blind.
  expect(result.damaged).toBeGreaterThan(count / 3);
  expect(result.slowestMilliseconds).toBeLessThan(mostCpuMilliseconds);
  expect(result.peakBytes).toBeLessThan(mostBytes);
});

const clipTextOf = (value: unknown): string =>
  JSON.stringify(value, (_, each: unknown) => (typeof each === "bigint" ? `${each}` : each));

const origin = { kind: "container", file: "a.mp4", place: "moov" } as const;

/** An audit of one clip as small as the claims need it. */
function audit(
  verdict: string,
  structure: Reading<"whole">,
  facts: Record<string, unknown> = {},
  said = 1,
): FolderAudit {
  const clip = { name: "a.mp4", files: [], facts: { structure, ...facts } };
  const audited = {
    clip,
    facts: new Map(Object.entries(clip.facts).map(([name, value]) => [name, clipTextOf(value)])),
    judged: { verdict, findings: Array.from({ length: said }, () => ({})), unknowns: [], suppressed: [] },
  } as unknown as AuditedClip;
  return {
    clips: new Map([["a.mp4", audited]]),
    stills: [],
    report: { audit: { skipped: [] } } as unknown as FolderAudit["report"],
  };
}

const whole = read("whole" as const, origin);
const broken = damaged("no index", origin);

test("the claims that every file must meet can fail", () => {
  const good = audit("clean", whole);
  const claim = (after: FolderAudit, kind: "cut" | "bytes" = "bytes"): string | undefined =>
    complaint(good, after, kind, "a.mp4");
  expect(claim(audit("clean", whole))).toBeUndefined();
  expect(claim(audit("reshoot", whole))).toContain("unchanged and the verdict went from clean to reshoot");
  expect(claim(audit("unknown", broken, {}, 0))).toContain("nothing is said");
  expect(claim(audit("clean", broken))).toContain("not whole and yet clean");
  expect(claim(audit("clean", whole, { iso: read(Number.NaN, origin) }))).toContain("NaN");
  expect(claim(audit("clean", whole, { frames: read(-1, origin) }))).toContain("frames is -1");
  expect(claim(audit("clean", whole, { frameRate: read({ numerator: 1n, denominator: 0n }, origin) }))).toBeDefined();
  expect(claim(audit("unknown", damaged("goodgate failed: a fault of goodgate", origin)))).toContain(
    "fault of goodgate",
  );
  expect(claim(audit("workable", whole, { width: read(64, origin) }), "cut")).toContain("a cut file counts as whole");
  expect(claim({ ...good, clips: new Map() })).toContain("neither judged nor listed");
});

test("a change is the same for the same number, and a recipe gives the file again", () => {
  const bytes = Buffer.from("0123456789abcdef".repeat(40));
  const made = [1, 1, 2].map((seed) => applyEdits(bytes, mutate(bytes, bytes, randomFrom(seed)).edits).toString("hex"));
  expect(made[0]).toBe(made[1]);
  expect(made[0]).not.toBe(made[2]);
  expect(
    applyEdits(Buffer.from("abc"), [
      { at: 1, remove: 1, put: "5a5a" },
      { at: 99, remove: 5, put: "21" },
    ]),
  ).toEqual(Buffer.from("aZZc!"));
});

test("a recipe is made as small as it can be while it still does harm", async () => {
  const edits = [1, 2, 3, 4].map((at) => ({ at, remove: 64, put: "aa".repeat(at * 40) }));
  const smallest = await minimised(edits, async (left) =>
    left.some((edit) => edit.at === 3 && edit.put.includes("aa")),
  );
  expect(smallest).toEqual([{ at: 3, remove: 1, put: "aa" }]);
});
