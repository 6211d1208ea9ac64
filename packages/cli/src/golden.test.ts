import { spawnSync } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { FindingReport, Report } from "@goodgate/report";
import { expect, test } from "vitest";
import { demoBriefFile, demoCardFolder, projectFolder } from "../../../fixtures/places.ts";

// The demo card is encoded on the machine at hand: sizes and what follows from them may differ by encoder build.
const golden = join(projectFolder, "fixtures/demo-card/golden.json");
const ofSize = /\d[\d.]* (bytes|kB|MB|Mbit\/s|kbit\/s)|about \d[\d.]* s of|\d[\d.]* % of the data/g;
const masked = (text: string): string => text.replace(ofSize, "…");
const finding = ({ rule, grade, says, remedy, use }: FindingReport): unknown => ({
  rule,
  grade,
  says: masked(says),
  remedy: masked(remedy),
  ...(use === undefined ? {} : { use }),
});

/** Everything of a report that a person acts on, with what depends on the machine masked. */
function lasting(report: Report): unknown {
  return {
    answer: report.answer,
    brief: report.brief,
    counts: report.counts,
    fits: report.fits,
    usable: report.usable,
    clips: report.clips.map((clip) => ({
      name: clip.name,
      files: clip.files,
      verdict: clip.verdict,
      plan: clip.plan,
      uses: clip.uses,
      facts: Object.fromEntries(
        [
          "frameRate",
          "captureRate",
          "frames",
          "width",
          "height",
          "codec",
          "transfer",
          "timecode",
          "createdAt",
          "shutterSeconds",
          "iso",
        ].map((name) => [name, clip.facts[name]?.state === "read" ? clip.facts[name]?.text : clip.facts[name]?.state]),
      ),
      findings: clip.findings.map(finding),
      unknown: clip.unknown.map((each) => each.says),
    })),
    stills: report.stills.map((still) => ({ name: still.name, findings: still.findings.map(finding) })),
    findings: report.findings.map(finding),
    nextFlight: report.nextFlight,
    skipped: report.audit.skipped.map(({ path, why }) => ({ path, why })),
  };
}

test("the report of the demo card is the golden one", () => {
  const run = spawnSync(
    process.execPath,
    [
      join(projectFolder, "packages/cli/dist/goodgate.js"),
      "audit",
      demoCardFolder,
      "--brief",
      demoBriefFile,
      "--json",
      "--no-cache",
    ],
    { encoding: "utf8", maxBuffer: 1 << 27 },
  );
  const found = `${JSON.stringify(lasting(JSON.parse(run.stdout) as Report), undefined, 1)}\n`;
  if (process.env["GOODGATE_GOLDEN"] === "write") writeFileSync(golden, found);
  expect(existsSync(golden)).toBe(true);
  expect(JSON.parse(found)).toEqual(JSON.parse(readFileSync(golden, "utf8")));
});
