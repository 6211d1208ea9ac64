import {
  type Amount,
  type Card,
  type CardFinding,
  type CardJudgement,
  type Clip,
  type ClipJudgement,
  type Finding,
  percentLabel,
  type Ratio,
  rateLabel,
  ratioText,
  type Skipped,
  type Still,
  type StillSet,
  toNumber,
  type Verdict,
} from "@goodgate/model";
import { reportFacts } from "./facts.ts";
import { recordedAt } from "./recorded-at.ts";
import { reportVersion } from "./report-version.ts";
import type { ClipReport, FindingReport, Report, StillReport } from "./schema.ts";
import { stillFacts } from "./still-facts.ts";

/** Everything a report is made of. Nothing in it knows a path outside the card. */
export interface ReportSource {
  readonly card: Card;
  readonly clips: readonly Clip[];
  readonly stills: readonly Still[];
  readonly sets: readonly StillSet[];
  readonly judgement: CardJudgement;
  readonly skipped: readonly Skipped[];
  /** True when the audit was interrupted. */
  readonly partial: boolean;
  readonly positions: boolean;
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

/** Puts a report together. Pure: the same source gives the same report. */
export function buildReport(source: ReportSource): Report {
  const { card, judgement } = source;
  const judged = new Map(judgement.clips.map((clip) => [clip.name, clip]));
  const clips = source.clips.flatMap((clip) => {
    const of = judged.get(clip.name);
    return of === undefined ? [] : [clipReport(clip, of, source.positions)];
  });
  const stillFindings = new Map(judgement.stills.map((still) => [still.name, still.findings]));
  const stills = source.stills.map((still): StillReport => ({
    name: still.name,
    files: still.files.map((file) => file.path),
    ...(still.set === undefined ? {} : { set: still.set }),
    facts: stillFacts(still, { positions: source.positions }),
    findings: (stillFindings.get(still.name) ?? []).map(cardFinding),
  }));
  const names = (verdict: Verdict): string[] =>
    clips.filter((clip) => clip.verdict === verdict).map((clip) => clip.name);
  const starts = clips
    .flatMap((clip) => {
      const at = recordedAt(clip);
      return at === undefined ? [] : [{ at, text: String(clip.facts["createdAt"]?.value) }];
    })
    .sort((a, b) => a.at - b.at)
    .map(({ text }) => text);
  const all = [...clips.flatMap((clip) => clip.findings), ...judgement.card];
  const graded = (grade: Finding["grade"]): number => all.filter((finding) => finding.grade === grade).length;
  const readers = [...new Set(source.clips.flatMap((clip) => clip.readers))].sort();
  const usable = (use: "real time" | "slow"): number =>
    judgement.usable
      .filter((entry) => entry.use === use)
      .reduce((sum, entry) => sum + toNumber(entry.clean) + toNumber(entry.workable), 0);
  return {
    format: { name: "goodgate report", version: reportVersion },
    partial: source.partial,
    answer: answerOf(source, names("reshoot"), names("unknown"), clips.length),
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
      items: plainItems(judgement),
      assumed: { ...judgement.brief.assumed },
      ...(source.briefSource === undefined ? {} : { source: source.briefSource }),
    },
    counts: {
      clips: clips.length,
      clean: names("clean").length,
      workable: names("workable").length,
      unknown: names("unknown").length,
      reshoot: names("reshoot").length,
      stills: stills.length,
      skipped: source.skipped.length,
      findings: { reshoot: graded("reshoot"), workable: graded("workable"), note: graded("note") },
    },
    fits: judgement.fits.map((fit) => ({
      timelineRate: ratioText(fit.rate),
      clips: fit.even,
      afterRetime: fit.afterRetime,
      uneven: fit.uneven,
    })),
    usable: { realTimeSeconds: usable("real time"), slowSeconds: usable("slow") },
    clips,
    stills,
    sets: source.sets.map((set) => ({
      id: set.id,
      kind: set.kind,
      names: [...set.names],
      missingNumbers: [...set.missingNumbers],
      ...(set.intervalSeconds === undefined ? {} : { intervalSeconds: set.intervalSeconds }),
      ...(set.exposureStops === undefined ? {} : { exposureStops: [...set.exposureStops] }),
    })),
    findings: judgement.card.map(cardFinding),
    ...(judgement.cardUnknowns.length === 0
      ? {}
      : { unknown: judgement.cardUnknowns.map((each) => ({ ...each, missing: [...each.missing] })) }),
    nextFlight: nextFlight(judgement),
    audit: {
      tool: "goodgate",
      version: source.audit.version,
      startedAt: source.audit.startedAt,
      seconds: source.audit.seconds,
      jobs: source.audit.jobs,
      readers,
      ...(source.audit.ffprobe === undefined ? {} : { ffprobe: source.audit.ffprobe }),
      bytesRead: [...source.clips, ...source.stills].reduce(
        (sum, each) => sum + each.cost.bytes,
        -(source.audit.earlier?.bytes ?? 0),
      ),
      readCalls: [...source.clips, ...source.stills].reduce(
        (sum, each) => sum + each.cost.calls,
        -(source.audit.earlier?.calls ?? 0),
      ),
      skipped: source.skipped.map((each) => ({
        path: each.path,
        why: each.why,
        ...(each.bytes === undefined ? {} : { bytes: each.bytes }),
        ...(each.unread === undefined ? {} : { unread: each.unread }),
      })),
      positions: source.positions,
    },
  };
}

/** The answer to "can I pack up?". It never says that a card may be wiped, and no hurry is in it. */
function answerOf(source: ReportSource, reshoot: string[], unknown: string[], clips: number): Report["answer"] {
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

function clipReport(clip: Clip, of: ClipJudgement, positions: boolean): ClipReport {
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
      ...(use.timelineSeconds === undefined ? {} : { timelineSeconds: ratioText(use.timelineSeconds) }),
    })),
    ...(of.light === undefined ? {} : { light: of.light }),
    facts: reportFacts(clip.facts, { positions }),
    findings: of.findings.map(plainFinding),
    unknown: of.unknowns.map((each) => ({ ...each, missing: [...each.missing] })),
    passed: [...of.passed],
    ...(of.suppressed.length === 0 ? {} : { suppressed: of.suppressed.map((each) => each.rule) }),
    ...(clip.joints.length === 0
      ? {}
      : { joints: clip.joints.map((joint) => ({ ...joint, evidence: [...joint.evidence] })) }),
    readers: [...clip.readers],
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

function nextFlight({ nextFlight: flight }: CardJudgement): NonNullable<Report["nextFlight"]> {
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
function plainItems({ brief }: CardJudgement): Record<string, unknown> {
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
