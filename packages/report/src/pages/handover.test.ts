import { performance } from "node:perf_hooks";
import { expect, test } from "vitest";
import { seenReport } from "../sample-pictures.ts";
import { bigReport, emptyReport, hostileReport, hostileTexts, sampleReport } from "../sample-report.ts";
import { markdownText, renderHandover } from "./handover.ts";

test("the golden page says what fits, which speed to set, what needs work and what is left out", () => {
  expect(renderHandover(sampleReport())).toBe(`# Handover: CARD A

7 clips: 2 clean, 2 workable, 1 not judged, 2 to be flown again. Usable: 2 min 12.5 s in real time, 1 min 24 s slow.

Brief: 25 fps, real time or slow, ISO up to 800, 50 Hz lamps, 180 degrees. Nobody stated, so assumed: shutter angle, shutter tolerance.

## Timeline

At 25 fps 6 clips of 7 play evenly in real time, 1 more after a small retime.

## Speeds to set

- **100 %** (real time), 2 clips: CLIP0001, CLIP0007
- **50 %**, exactly 1/2 (slow), 1 clip: CLIP0002
- **83.42 %**, exactly 1001/1200 (slow), 1 clip: CLIP0003

## Needs work

- CLIP0003: 29.97 fps on a 25 timeline skips unevenly 5 times a second in real time: set the speed to 83.42 %. In the edit: Speed 83.42 % (1001/1200), frame blending off.
- CLIP0007: 4 frames are missing in 2 places, first at 12.4 s: cut around them. In the edit: Cut around the places, or interpolate the missing frames.

## Clean stretches

- CLIP0007: 0 to 12.4 s, 12.4 to 60.08 s, 60.08 to 120 s

## Recordings in several files

- CLIP0007: CLIP0007.MP4 + CLIP0008.MP4; no frame missing

## Proxies

- CLIP0007.LRV stands for CLIP0007

## Left out

- CLIP0004, CLIP0005: shutter angle: 1/1000 s, 1/800 s against 180 degrees: Set 1/50 s and ND64.
- CLIP0004: ISO 1600 is above the ceiling of ISO 800 for the whole clip: set ISO 800 or lower.

## Not judged

- CLIP0006: The shutter was not judged: no record of settings in the file or beside it. Switch on the camera's subtitle file, or give the shutter in the brief.
- CLIP0006: ISO was not judged: no record of settings in the file or beside it. Switch on the camera's subtitle file.
`);
});

test.each(hostileTexts.map((text) => [text.slice(0, 20), text]))(
  "markup in a text is shown and does nothing: %j",
  (_, text) => {
    const escaped = markdownText(text);
    // CommonMark: a backslash before ASCII punctuation shows that character.
    const bare = escaped.replaceAll(/\\[!-/:-@[-`{-~]/g, "");
    expect(bare).not.toMatch(/[`*_[\]<>|&~#]/);
    expect(escaped).not.toMatch(/[\p{Cc}\p{Cf}\p{Cs}]/u);
    expect(escaped).not.toMatch(/^\s*([-+=]|\d+[.)](\s|$))/);
    expect(escaped.length).toBeLessThan(1300);
  },
);

test("addresses in a text do not become links", () => {
  expect(markdownText("http://a.example www.b.example c@d.example")).toBe(
    "http\\://a.example www\\.b.example c\\@d.example",
  );
});

test("hostile text opens no heading, no list and no line of its own", () => {
  const lines = renderHandover(hostileReport()).split("\n");
  const headings = lines.filter((line) => line.startsWith("#"));
  expect(headings.filter((line) => line.startsWith("## "))).toEqual([
    "## Timeline",
    "## Speeds to set",
    "## Needs work",
    "## Clean stretches",
    "## Recordings in several files",
    "## Proxies",
    "## Left out",
    "## Not judged",
  ]);
  expect(headings).toHaveLength(9);
  expect(lines.join("")).not.toMatch(/[\p{Cc}\p{Cf}\p{Cs}]/u);
});

test("stretches too short to cut with are left out", () => {
  const report = sampleReport();
  const cutAt = (atSeconds: readonly number[]): string => {
    const clips = report.clips.map((clip) => {
      const findings = clip.findings.map((finding) =>
        finding.atSeconds === undefined ? finding : { ...finding, atSeconds: [...atSeconds] },
      );
      return { ...clip, findings };
    });
    return renderHandover({ ...report, clips });
  };
  expect(cutAt([0.04, 60])).toContain("- CLIP0007: 0.04 to 60 s, 60 to 120 s; shorter ones left out\n");
  expect(cutAt([60, 60.5])).toContain("- CLIP0007: 0 to 60 s, 60.5 to 120 s; shorter ones left out\n");
  expect(cutAt(Array.from({ length: 11 }, (_, n) => n * 0.9 + 0.2))).toMatch(
    /- CLIP0007: 9\.2 to 120 s; shorter ones left out\n/,
  );
});

test("an empty card gives a page without empty sections", () => {
  expect(renderHandover(emptyReport())).not.toMatch(/## (Speeds|Needs|Clean|Proxies|Left|Not)/);
});

test("2,000 clips still make a page of few lines, in well under five seconds", () => {
  const report = bigReport(2000);
  const began = performance.now();
  const text = renderHandover(report);
  expect(performance.now() - began).toBeLessThan(5000); // the aim is one; the test machines are shared
  expect(text.split("\n").filter((line) => line.startsWith("- **")).length).toBeLessThan(10);
});

test("what only the pictures tell stands by itself: angles no record gives, and what to cut out", () => {
  const report = seenReport();
  const black = {
    ...report.clips[3]?.findings[0],
    rule: "black-frozen",
    grade: "note",
    says: "Black from 11.5 s; cut it out.",
  };
  const clips = report.clips.map((clip, place) => (place === 0 ? { ...clip, findings: [black as never] } : clip));
  const text = renderHandover({ ...report, clips });
  expect(text).toContain(`## What the pictures show

Pictures: 19 of 22.5 s looked at in 2 clips of 7. The rest was not seen.

- Shutter angle from motion blur, not from a record: CLIP0006 43°
- CLIP0001: Black from 11.5 s; cut it out.
`);
  expect(renderHandover(sampleReport())).not.toContain("the pictures show");
});
