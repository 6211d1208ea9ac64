import {
  type Amount,
  type Card,
  type CardConclusion,
  type CardFinding,
  type CardJudgement,
  type Clip,
  type ClipJudgement,
  type FactName,
  type Finding,
  percentLabel,
  type Ratio,
  rateLabel,
  ratioText,
  type Skipped,
  type Still,
  type StillSet,
  toNumber,
} from "@goodgate/model";
import { type FactOptions, reportFacts } from "./facts.ts";
import { recordedAt } from "./recorded-at.ts";
import { type Sharer, sharer } from "./shared-values.ts";
import { reportVersion } from "./report-version.ts";
import type { ClipReport, FindingReport, Report, StillReport } from "./schema.ts";
import { stillFacts } from "./still-facts.ts";

/** What a report is made of beside its clips. Nothing in it knows a path outside the card. */
export interface ReportFrame {
  readonly card: Card;
  readonly stills: readonly Still[];
  readonly sets: readonly StillSet[];
  readonly conclusion: CardConclusion;
  readonly skipped: readonly Skipped[];
  /** True when the audit was interrupted. */
  readonly partial: boolean;
  readonly briefSource?: string;
  readonly audit: {
    readonly version: string;
    /** ISO 8601, UTC. */
    readonly startedAt: string;
    readonly seconds: number;
    readonly jobs: number;
    readonly ffprobe?: string;
    /** What was read in an earlier audit and taken from there: it was not read again. */
    readonly earlier?: { readonly bytes: number; readonly calls: number };
  };
}

/** Everything a report is made of, all clips at once. */
export interface ReportSource extends Omit<ReportFrame, "conclusion"> {
  readonly clips: Iterable<Clip>;
  readonly judgement: CardJudgement;
  readonly positions: boolean;
}

/** What is to be in a report. */
export interface ReportOptions {
  readonly positions: boolean;
  /** Facts wanted of each clip; all of them, with what is drawn, when left out. */
  readonly only?: readonly FactName[];
  /** Whether there are so many clips that equal parts of them are worth looking for. */
  readonly many?: boolean;
}

/** A report being put together clip by clip; see `startReport`. */
export interface ReportInTheMaking {
  /** Adds a clip; the report holds them in this order. */
  add(clip: Clip, judgement: ClipJudgement): void;
  /** The whole report. */
  finish(frame: ReportFrame): Report;
}

/** Puts a report together from everything at once. Pure: the same source gives the same report. */
export function buildReport(source: ReportSource): Report {
  const report = startReport({ positions: source.positions });
  const judged = new Map(source.judgement.clips.map((clip) => [clip.name, clip]));
  for (const clip of source.clips) {
    const of = judged.get(clip.name);
    if (of !== undefined) report.add(clip, of);
  }
  return report.finish({ ...source, conclusion: source.judgement });
}

/**
 * Starts a report to which clips are given one by one: parts of them that are
 * equal are one object, so that ten thousand clips of one camera take little memory. Without `positions` no place on
 * earth is in it.
 */
export function startReport({ positions, only, many = true }: ReportOptions): ReportInTheMaking {
  const sums: Sums = {
    clips: [],
    reshoot: [],
    unknown: [],
    starts: [],
    findings: { reshoot: 0, workable: 0, note: 0 },
    readers: new Set(),
    bytes: 0,
    calls: 0,
  };
  const once: Sharer = many ? sharer() : (_, value) => value;
  return {
    add(clip, judgement) {
      const made = clipReport(clip, judgement, { positions, once, ...(only === undefined ? {} : { only }) });
      sums.clips.push(made);
      if (made.verdict === "reshoot" || made.verdict === "unknown") sums[made.verdict].push(made.name);
      const at = recordedAt(made);
      if (at !== undefined) sums.starts.push({ at, text: String(made.facts["createdAt"]?.value) });
      for (const { grade } of made.findings) sums.findings[grade] += 1;
      for (const reader of clip.readers) sums.readers.add(reader);
      sums.bytes += clip.cost.bytes;
      sums.calls += clip.cost.calls;
    },
    finish: (frame) => wholeReport(frame, sums, positions),
  };
}

/** The clips of a report, and what it says of all of them. */
interface Sums {
  readonly clips: ClipReport[];
  readonly reshoot: string[];
  readonly unknown: string[];
  readonly starts: { readonly at: number; readonly text: string }[];
  readonly findings: Record<Finding["grade"], number>;
  readonly readers: Set<string>;
  bytes: number;
  calls: number;
}

function wholeReport(source: ReportFrame, sums: Sums, positions: boolean): Report {
  const { card, conclusion } = source;
  const stillFindings = new Map(conclusion.stills.map((still) => [still.name, still.findings]));
  const stills = source.stills.map((still): StillReport => ({
    name: still.name,
    files: still.files.map((file) => file.path),
    ...(still.set === undefined ? {} : { set: still.set }),
    facts: stillFacts(still, { positions }),
    findings: (stillFindings.get(still.name) ?? []).map(cardFinding),
  }));
  const starts = [...sums.starts].sort((a, b) => a.at - b.at).map(({ text }) => text);
  const findings = { ...sums.findings };
  for (const { grade } of conclusion.card) findings[grade] += 1;
  const usable = (use: "real time" | "slow"): number =>
    conclusion.usable
      .filter((entry) => entry.use === use)
      .reduce((sum, entry) => sum + toNumber(entry.clean) + toNumber(entry.workable), 0);
  const ofStills = (cost: "bytes" | "calls"): number => source.stills.reduce((sum, still) => sum + still.cost[cost], 0);
  return {
    format: { name: "goodgate report", version: reportVersion },
    partial: source.partial,
    answer: answerOf(source, sums),
    card: {
      label: card.label,
      layout: card.layout,
      files: card.fileCount,
      bytes: card.totalBytes,
      ...(card.freeBytes === undefined ? {} : { freeBytes: card.freeBytes }),
      ...(starts[0] === undefined ? {} : { firstStart: starts[0], lastStart: starts[starts.length - 1] as string }),
      remarks: card.remarks.map((remark) => ({ kind: remark.kind, says: remark.says, paths: [...remark.paths] })),
    },
    brief: {
      items: plainItems(conclusion),
      assumed: { ...conclusion.brief.assumed },
      ...(source.briefSource === undefined ? {} : { source: source.briefSource }),
    },
    counts: {
      clips: sums.clips.length,
      ...conclusion.counts,
      stills: stills.length,
      skipped: source.skipped.length,
      findings,
    },
    fits: conclusion.fits.map((fit) => ({
      timelineRate: ratioText(fit.rate),
      clips: fit.even,
      afterRetime: fit.afterRetime,
      uneven: fit.uneven,
    })),
    usable: { realTimeSeconds: usable("real time"), slowSeconds: usable("slow") },
    clips: sums.clips,
    stills,
    sets: source.sets.map((set) => ({
      id: set.id,
      kind: set.kind,
      names: [...set.names],
      missingNumbers: [...set.missingNumbers],
      ...(set.intervalSeconds === undefined ? {} : { intervalSeconds: set.intervalSeconds }),
      ...(set.exposureStops === undefined ? {} : { exposureStops: [...set.exposureStops] }),
    })),
    findings: conclusion.card.map(cardFinding),
    ...(conclusion.cardUnknowns.length === 0
      ? {}
      : { unknown: conclusion.cardUnknowns.map((each) => ({ ...each, missing: [...each.missing] })) }),
    nextFlight: nextFlight(conclusion),
    audit: {
      tool: "goodgate",
      version: source.audit.version,
      startedAt: source.audit.startedAt,
      seconds: source.audit.seconds,
      jobs: source.audit.jobs,
      readers: [...sums.readers].sort(),
      ...(source.audit.ffprobe === undefined ? {} : { ffprobe: source.audit.ffprobe }),
      bytesRead: sums.bytes + ofStills("bytes") - (source.audit.earlier?.bytes ?? 0),
      readCalls: sums.calls + ofStills("calls") - (source.audit.earlier?.calls ?? 0),
      skipped: source.skipped.map((each) => ({
        path: each.path,
        why: each.why,
        ...(each.bytes === undefined ? {} : { bytes: each.bytes }),
        ...(each.unread === undefined ? {} : { unread: each.unread }),
      })),
      positions,
    },
  };
}

/** The answer to "can I pack up?". It never says that a card may be wiped, and no hurry is in it. */
function answerOf(source: ReportFrame, { clips: { length: clips }, reshoot, unknown }: Sums): Report["answer"] {
  const count = (list: readonly string[]): string => `${list.length} of ${clips} clip${clips === 1 ? "" : "s"}`;
  const parts: string[] = [];
  if (source.partial) parts.push("Interrupted: not every clip was read.");
  if (reshoot.length > 0) parts.push(`Not yet: ${count(reshoot)} cannot be saved in the edit.`);
  if (unknown.length > 0) parts.push(`${count(unknown)} could not be judged.`);
  const unread = source.skipped.filter((each) => each.unread === true).length;
  if (unread > 0) parts.push(`${unread} place${unread === 1 ? "" : "s"} on the card could not be looked at.`);
  if (parts.length === 0) {
    parts.push(
      clips === 0
        ? "No clips here to judge."
        : clips === 1
          ? "Yes, by what was read: the one clip is clean or workable."
          : `Yes, by what was read: all ${clips} clips are clean or workable.`,
    );
  }
  return { says: parts.join(" "), reshoot, unknown };
}

function clipReport(clip: Clip, of: ClipJudgement, options: FactOptions & { readonly once: Sharer }): ClipReport {
  const { once } = options;
  const planned = of.uses.find((use) => use.use === of.plan.use);
  return {
    name: clip.name,
    files: clip.files.map((file) => file.path),
    parts: clip.files.map((file) => ({
      path: file.path,
      role: file.role,
      bytes: file.bytes,
      ...(file.frames === undefined ? {} : { frames: file.frames }),
      modified: new Date(
        Number.isFinite(file.modifiedMilliseconds) ? Math.round(file.modifiedMilliseconds) : 0,
      ).toISOString(),
    })),
    verdict: of.verdict,
    plan: {
      use: of.plan.use,
      speed: ratioText(of.plan.speed),
      percent: `${percentLabel(of.plan.speed)} %`,
      cadence: of.plan.cadence,
      ...(planned?.timelineSeconds === undefined ? {} : { timelineSeconds: ratioText(planned.timelineSeconds) }),
    },
    uses: of.uses.map((use) => ({
      use: use.use,
      sceneSpeed: ratioText(use.sceneSpeed),
      speed: ratioText(use.speed),
      cadence: use.cadence,
      clean: use.clean,
      verdict: use.verdict,
      ...(use.angleDegrees === undefined ? {} : { angleDegrees: use.angleDegrees }),
      ...(use.angleOrigin === undefined ? {} : { angleOrigin: use.angleOrigin }),
      ...(use.timelineSeconds === undefined ? {} : { timelineSeconds: ratioText(use.timelineSeconds) }),
    })),
    ...(of.light === undefined ? {} : { light: of.light }),
    facts: reportFacts(clip.facts, { ...options, own: clip.name }),
    findings: of.findings.map((finding) => once(`finding ${finding.rule}`, plainFinding(finding))),
    unknown: of.unknowns.map((each) => once(`unknown ${each.rule}`, { ...each, missing: [...each.missing] })),
    passed: once("passed", [...of.passed]),
    ...(of.suppressed.length === 0 ? {} : { suppressed: of.suppressed.map((each) => each.rule) }),
    ...(clip.joints.length === 0
      ? {}
      : { joints: clip.joints.map((joint) => ({ ...joint, evidence: [...joint.evidence] })) }),
    readers: once("readers", [...clip.readers]),
    bytesRead: clip.cost.bytes,
  };
}

const plainAmount = (from: Amount): { value: number | string; unit: string; text: string } => ({
  value: from.value,
  unit: from.unit,
  text: from.text,
});

function plainFinding(finding: Finding): FindingReport {
  return {
    rule: finding.rule,
    ...(finding.case === undefined ? {} : { case: finding.case }),
    grade: finding.grade,
    says: finding.says,
    measured: plainAmount(finding.measured),
    limit: { ...plainAmount(finding.limit), origin: finding.limit.origin },
    remedy: finding.remedy,
    ...(finding.onLocation === undefined ? {} : { onLocation: finding.onLocation }),
    ...(finding.inEdit === undefined ? {} : { inEdit: finding.inEdit }),
    ...(finding.use === undefined ? {} : { use: finding.use }),
    ...(finding.atSeconds === undefined ? {} : { atSeconds: [...finding.atSeconds] }),
    ...(finding.assumed === undefined ? {} : { assumed: [...finding.assumed] }),
  };
}

function cardFinding(finding: CardFinding): FindingReport {
  const clips = [...finding.clips, ...finding.stills];
  return clips.length === 0 ? plainFinding(finding) : { ...plainFinding(finding), clips };
}

function nextFlight({ nextFlight: flight }: CardConclusion): NonNullable<Report["nextFlight"]> {
  return {
    ...(flight.lightEv === undefined ? {} : { lightEv: flight.lightEv }),
    ...(flight.lightFrom === undefined ? {} : { lightFrom: flight.lightFrom }),
    ...(flight.fNumber === undefined ? {} : { fNumber: flight.fNumber }),
    says: [...flight.text],
    rows: flight.rows.map((row) => ({
      captureRate: ratioText(row.captureRate),
      shutterSeconds: ratioText(row.shutterSeconds),
      angleDegrees: row.angleDegrees,
      ...(row.iso === undefined ? {} : { iso: row.iso }),
      ...(row.ndFactor === undefined ? {} : { ndFactor: row.ndFactor }),
      ...(row.ndAtHand === undefined ? {} : { ndAtHand: row.ndAtHand }),
      uses: [...row.uses],
      cannot: [...row.cannot],
      says: row.says,
      possible: row.possible,
    })),
    caution: flight.caution,
  };
}

/** The brief with its ratios as text, so that it can be written as JSON. */
function plainItems({ brief }: CardConclusion): Record<string, unknown> {
  const items: Record<string, unknown> = { timelineLabel: rateLabel(brief.timelineRate) };
  for (const [key, value] of Object.entries(brief)) {
    if (key !== "assumed" && value !== undefined) items[key] = plain(value);
  }
  return items;
}

function plain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(plain);
  if (value !== null && typeof value === "object") {
    if ("numerator" in value && "denominator" in value) return ratioText(value as Ratio);
    return Object.fromEntries(
      Object.entries(value)
        .filter(([, inner]) => inner !== undefined)
        .map(([key, inner]) => [key, plain(inner)]),
    );
  }
  return value;
}
