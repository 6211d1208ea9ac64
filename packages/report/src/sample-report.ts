import { rate, read, seconds, shutterAngle, toNumber } from "@goodgate/model";
import { factReport } from "./facts.ts";
import { changing, origin, sampleClips, sampleStills } from "./sample-clips.ts";
import { sampleFindings } from "./sample-findings.ts";
import type { ClipReport, Report, StillReport } from "./schema.ts";

const counted = (clips: readonly ClipReport[], stills: readonly StillReport[], skipped: number): Report["counts"] => {
  const of = (verdict: ClipReport["verdict"]): number => clips.filter((clip) => clip.verdict === verdict).length;
  const graded = (grade: ClipReport["findings"][number]["grade"]): number =>
    clips.reduce((sum, clip) => sum + clip.findings.filter((finding) => finding.grade === grade).length, 0);
  return {
    clips: clips.length,
    clean: of("clean"),
    workable: of("workable"),
    unknown: of("unknown"),
    reshoot: of("reshoot"),
    stills: stills.length,
    skipped,
    findings: { reshoot: graded("reshoot"), workable: graded("workable"), note: graded("note") },
  };
};

const secondsFor = (clips: readonly ClipReport[], use: string): number =>
  clips
    .filter((clip) => clip.plan.use === use && (clip.verdict === "clean" || clip.verdict === "workable"))
    .reduce((sum, clip) => {
      const [above = "0", below = "1"] = (clip.plan.timelineSeconds ?? "0/1").split("/");
      return sum + Number(above) / Number(below);
    }, 0);

function reportOf(clips: readonly ClipReport[], stills: readonly StillReport[], label: string): Report {
  const skipped = [{ path: "MISC/INDEX.DAT", why: "no footage: a camera's own index", bytes: 4096 }];
  const counts = counted(clips, stills, skipped.length);
  const named = (verdict: ClipReport["verdict"]): string[] =>
    clips.filter((clip) => clip.verdict === verdict).map((clip) => clip.name);
  const angle = toNumber(shutterAngle(rate(50), seconds(1, 100)));
  return {
    format: { name: "goodgate report", version: "1.0" },
    partial: false,
    answer: {
      says: `Not yet: ${counts.reshoot} of ${counts.clips} clips cannot be used as planned and ${counts.unknown} could not be judged.`,
      reshoot: named("reshoot"),
      unknown: named("unknown"),
    },
    card: {
      label,
      layout: "camera folders (DCF)",
      files: clips.reduce((sum, clip) => sum + clip.parts.length, 0) + stills.length + skipped.length,
      bytes: clips.reduce((sum, clip) => sum + clip.parts.reduce((all, part) => all + part.bytes, 0), 0),
      freeBytes: 21_474_836_480,
      firstStart: "2031-05-04T10:12:30Z",
      lastStart: "2031-05-04T10:40:00Z",
      remarks: [
        {
          kind: "number-gap",
          says: "Still numbers 0018 and 0019 are missing from the running count.",
          paths: ["DCIM/100MEDIA"],
        },
      ],
    },
    brief: {
      items: {
        timelineRate: "25/1",
        treatment: "either",
        isoCeiling: 800,
        shutterAngleDegrees: 180,
        shutterToleranceStops: 0.5,
        mainsHertz: 50,
        ndFactors: [8, 16, 32, 64],
      },
      assumed: { shutterAngleDegrees: "not given: 180 degrees", shutterToleranceStops: "not given: 0.5 stop" },
      source: "brief.yaml",
    },
    counts,
    fits: [
      { timelineRate: "25/1", clips: Math.max(0, clips.length - 1), afterRetime: 1, uneven: 0 },
      { timelineRate: "50/1", clips: Math.max(0, clips.length - 1), afterRetime: 0, uneven: 1 },
      { timelineRate: "30000/1001", clips: 1, afterRetime: 0, uneven: Math.max(0, clips.length - 1) },
    ],
    usable: { realTimeSeconds: secondsFor(clips, "real time"), slowSeconds: secondsFor(clips, "slow") },
    clips: [...clips],
    stills: [...stills],
    sets:
      stills.length === 0
        ? []
        : [
            {
              id: "bracket 1",
              kind: "bracket",
              names: stills.map((still) => still.name),
              exposureStops: [0, -2, 2],
              missingNumbers: [],
            },
          ],
    findings: [sampleFindings.card],
    nextFlight: {
      lightEv: 14.6,
      says: [
        "Light about EV 14.6 (DCIM/100MEDIA/CLIP0005.MP4), f/2.8; give or take one stop.",
        "25 fps 1/50 ISO 100 ND64: real time 180 degrees",
        "50 fps 1/100 ISO 100 ND32: slow to 50 % 180 degrees",
      ],
      fNumber: 2.8,
      rows: [
        {
          captureRate: "25/1",
          shutterSeconds: "1/50",
          angleDegrees: toNumber(shutterAngle(rate(25), seconds(1, 50))),
          iso: 100,
          ndFactor: 64,
          ndAtHand: true,
          uses: ["real time 180 degrees"],
          cannot: [],
          says: "25 fps 1/50 ISO 100 ND64: real time 180 degrees",
          possible: true,
        },
        {
          captureRate: "50/1",
          shutterSeconds: "1/100",
          angleDegrees: angle,
          iso: 100,
          ndFactor: 32,
          ndAtHand: true,
          uses: ["slow to 50 % 180 degrees"],
          cannot: [],
          says: "50 fps 1/100 ISO 100 ND32: slow to 50 % 180 degrees",
          possible: true,
        },
      ],
      caution:
        "Refly only if the rules at this place, airspace, daylight, weather, people below and battery allow; " +
        "this tool does not know them and local flying rules come first.",
    },
    audit: {
      tool: "goodgate",
      version: "0.1.0",
      startedAt: "2031-05-04T11:00:00.000Z",
      seconds: 1.25,
      jobs: 4,
      readers: ["goodgate 0.1.0"],
      bytesRead: clips.reduce((sum, clip) => sum + clip.bytesRead, 0),
      readCalls: clips.length * 9,
      skipped,
      positions: true,
    },
  };
}

/** The golden report: seven clips of all verdicts, a bracket of three stills, settings for a next flight. */
export const sampleReport = (): Report => reportOf(sampleClips(), sampleStills(), "CARD A");

/** Texts made to break a page: markup, terminal codes, text that runs backwards, formulas, very long, not Unicode. */
export const hostileTexts: readonly string[] = [
  '<img src=x onerror="alert(1)"><script>alert(2)</script>',
  "\u001B[2J\u001B]0;title\u0007\u009B31mred",
  "\u202Egnp.\u2066exe\u2069 \u200B\u2028",
  '=cmd|"/C calc"!A1',
  "@SUM(1+1)*-2",
  "空撮_映像_🚁👨‍👩‍👧‍👦_é́́_" + "長".repeat(60),
  "x".repeat(10_000),
  "lone \uD800 surrogate \uDC00",
  "a|b\nc\r\nd\t`e` **f** [g](javascript:alert(3)) # h",
];

/** The golden report with hostile text in every place that a card, a file or a brief can fill. */
export function hostileReport(): Report {
  const report = sampleReport();
  const text = (place: number): string => hostileTexts[place % hostileTexts.length] ?? "";
  const clips = hostileTexts.map((hostile, place): ClipReport => {
    const clip = report.clips[place % report.clips.length] as ClipReport;
    const name = `DCIM/${hostile}${place}.MP4`;
    return {
      ...clip,
      name,
      files: [name],
      parts: clip.parts.map((part) => ({ ...part, path: `${part.path}${hostile}` })),
      plan: { ...clip.plan, cadence: text(place + 1) },
      facts: {
        ...clip.facts,
        codec: {
          state: "read",
          value: hostile,
          text: hostile,
          origin: { kind: "container", file: name, place: hostile },
        },
        metadata: { state: "read", value: { [text(place + 1)]: text(place + 2), __proto__x: hostile }, text: hostile },
        timecode: { state: "damaged", why: hostile, origin: { kind: "container", file: name, place: hostile } },
      },
      findings: clip.findings.map((finding) => ({
        ...finding,
        says: text(place + 3),
        remedy: text(place + 4),
        measured: { ...finding.measured, text: text(place + 5) },
        inEdit: hostile,
      })),
      unknown: clip.unknown.map((entry) => ({ ...entry, says: hostile, supply: text(place + 2) })),
      readers: [hostile],
    };
  });
  return {
    ...report,
    answer: {
      says: text(0),
      reshoot: clips.filter((clip) => clip.verdict === "reshoot").map((clip) => clip.name),
      unknown: clips.filter((clip) => clip.verdict === "unknown").map((clip) => clip.name),
    },
    card: {
      ...report.card,
      label: text(1),
      remarks: hostileTexts.map((says) => ({ kind: "number-gap", says, paths: [says] })),
    },
    brief: { ...report.brief, source: text(2), assumed: { ...report.brief.assumed, baseIso: text(0) } },
    counts: counted(clips, report.stills, 1),
    clips,
    stills: report.stills.map((still, place) => ({ ...still, name: text(place), files: [text(place)] })),
    audit: {
      ...report.audit,
      skipped: hostileTexts.map((path) => ({ path, why: path })),
      ffprobe: text(1),
    },
  };
}

/** A report of `count` clips of the golden report's kinds, with busy series, for measuring. */
export function bigReport(count: number): Report {
  const kinds = sampleClips();
  const busy = changing(
    Array.from({ length: 3000 }, (_, place) => 100 + ((place * 37) % 700)),
    120,
    (value) => value,
  );
  const place = origin("CLIP.SRT", "per-frame record", "cues");
  const iso = factReport("iso", read(busy, place));
  const yaw = factReport("yawDegrees", read(busy, place));
  const clips = Array.from({ length: count }, (_, number): ClipReport => {
    const clip = kinds[number % kinds.length] as ClipReport;
    const name = `DCIM/${100 + Math.floor(number / 999)}MEDIA/CLIP${String(number % 10_000).padStart(4, "0")}.MP4`;
    return { ...clip, name, files: [name], facts: { ...clip.facts, iso, yawDegrees: yaw } };
  });
  return reportOf(clips, [], "BIG CARD");
}

/** A report of a card on which nothing was found. */
export function emptyReport(): Report {
  const { nextFlight: _, ...rest } = reportOf([], [], "EMPTY");
  return {
    ...rest,
    answer: { says: "No clips were found: nothing was judged.", reshoot: [], unknown: [] },
    findings: [],
    fits: [],
    card: { label: "EMPTY", layout: "plain folder", files: 0, bytes: 0, remarks: [] },
    audit: { ...rest.audit, skipped: [] },
    counts: counted([], [], 0),
  };
}
