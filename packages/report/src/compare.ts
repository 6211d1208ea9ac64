import { counted } from "./fact-values.ts";
import { wrapped } from "./printed-text.ts";
import type { ClipReport, FactReport, FindingReport, Report, StillReport } from "./schema.ts";

/** One thing that is different, as text before and after; undefined where there was nothing. */
export interface Change {
  readonly what: string;
  readonly before?: string;
  readonly after?: string;
}

/** What changed of one clip or still. */
export interface ItemChanges {
  /** Name in the later report. */
  readonly name: string;
  readonly changes: readonly Change[];
}

/** What changed between two reports. */
export interface Comparison {
  /** Whether nothing about the card, the brief, the clips or their judgement changed. */
  readonly same: boolean;
  readonly added: readonly string[];
  readonly gone: readonly string[];
  /** The same recording under another path: equal file names, frames and length. */
  readonly moved: readonly { readonly from: string; readonly to: string }[];
  /** In the order of the later report. */
  readonly changed: readonly ItemChanges[];
  /** Of the card and the brief. */
  readonly card: readonly Change[];
  /** Of the program and its way of reading; never counted as a change of the footage. */
  readonly audit: readonly Change[];
}

/**
 * What changed from report `a` to report `b`. Clips are matched by name, then by file names, frames and length, so that a
 * copied card compares with itself. When, how fast and with what effort the audits ran is left aside, and so is where a
 * fact was read.
 */
export function compareReports(a: Report, b: Report): Comparison {
  const clips = matched<ClipReport>(a.clips, b.clips);
  const stills = matched<StillReport>(a.stills, b.stills);
  const changed = [
    ...clips.pairs.map(([before, after]) => ({ name: after.name, changes: clipChanges(before, after) })),
    ...stills.pairs.map(([before, after]) => ({ name: after.name, changes: stillChanges(before, after) })),
  ].filter((item) => item.changes.length > 0);
  const moved = [...clips.pairs, ...stills.pairs]
    .filter(([before, after]) => before.name !== after.name)
    .map(([before, after]) => ({ from: before.name, to: after.name }));
  const added = [...clips.added, ...stills.added];
  const gone = [...clips.gone, ...stills.gone];
  const card = cardChanges(a, b);
  const same = [changed, moved, added, gone, card].every((list) => list.length === 0);
  return { same, added, gone, moved, changed, card, audit: auditChanges(a, b) };
}

type Item = Pick<ClipReport, "name" | "files" | "facts">;

interface Matched<T> {
  readonly pairs: readonly (readonly [T, T])[];
  readonly added: readonly string[];
  readonly gone: readonly string[];
}

function matched<T extends Item>(before: readonly T[], after: readonly T[]): Matched<T> {
  const byName = new Map(before.map((item) => [item.name, item]));
  const partner = new Map<T, T>();
  for (const item of after) {
    const found = byName.get(item.name);
    if (found === undefined) continue;
    partner.set(item, found);
    byName.delete(item.name);
  }
  const byContent = new Map<string, T[]>();
  for (const item of byName.values()) byContent.set(content(item), [...(byContent.get(content(item)) ?? []), item]);
  for (const item of after) {
    if (partner.has(item)) continue;
    const found = byContent.get(content(item))?.shift();
    if (found === undefined) continue;
    partner.set(item, found);
    byName.delete(found.name);
  }
  return {
    pairs: after.flatMap((item) => {
      const found = partner.get(item);
      return found === undefined ? [] : [[found, item] as const];
    }),
    added: after.filter((item) => !partner.has(item)).map((item) => item.name),
    gone: [...byName.values()].map((item) => item.name),
  };
}

/** What a recording is by itself, wherever it lies. */
const content = (item: Item): string =>
  JSON.stringify([
    item.files.map((file) => file.slice(file.lastIndexOf("/") + 1)).sort(),
    item.facts["frames"]?.value,
    item.facts["durationSeconds"]?.value,
    item.facts["createdAt"]?.value,
  ]);

const size = (clip: ClipReport): string => String(clip.parts.reduce((sum, part) => sum + part.bytes, 0));

function clipChanges(a: ClipReport, b: ClipReport): readonly Change[] {
  return [
    ...change("verdict", a.verdict, b.verdict),
    ...change("use", planText(a), planText(b)),
    ...change("size in bytes", size(a), size(b)),
    ...change("files", String(a.files.length), String(b.files.length)),
    ...findingChanges(a.findings, b.findings),
    ...listChanges(
      "not judged",
      a.unknown.map((entry) => entry.says),
      b.unknown.map((entry) => entry.says),
    ),
    ...factChanges(a.facts, b.facts),
  ];
}

const stillChanges = (a: StillReport, b: StillReport): readonly Change[] => [
  ...change("set", a.set, b.set),
  ...findingChanges(a.findings, b.findings),
  ...factChanges(a.facts, b.facts),
];

function planText({ plan: { use, speed, percent, cadence } }: ClipReport): string {
  return use === "none" ? "none" : `${use} at ${percent} (${speed}), ${cadence}`;
}

function change(what: string, before: string | undefined, after: string | undefined): readonly Change[] {
  if (before === after) return [];
  return [{ what, ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) }];
}

/** Entries of two lists that the other does not have; an entry that stands twice counts twice. */
function listChanges(what: string, before: readonly string[], after: readonly string[]): readonly Change[] {
  const left = without(before, after).map((text): Change => ({ what, before: text }));
  return [...left, ...without(after, before).map((text): Change => ({ what, after: text }))];
}

function without(list: readonly string[], other: readonly string[]): readonly string[] {
  const counts = new Map<string, number>();
  for (const text of other) counts.set(text, (counts.get(text) ?? 0) + 1);
  return list.filter((text) => {
    const count = counts.get(text) ?? 0;
    counts.set(text, count - 1);
    return count <= 0;
  });
}

const says = (finding: FindingReport): string => `${finding.grade}: ${finding.says}`;

/** Findings of the same question are shown side by side when each report has one. */
function findingChanges(a: readonly FindingReport[], b: readonly FindingReport[]): readonly Change[] {
  const rules = [...new Set([...a, ...b].map((finding) => finding.rule))];
  return rules.flatMap((rule) => {
    const before = a.filter((finding) => finding.rule === rule).map(says);
    const after = b.filter((finding) => finding.rule === rule).map(says);
    const [gone, come] = [without(before, after), without(after, before)];
    if (gone.length === 1 && come.length === 1) return change(`finding ${rule}`, gone[0], come[0]);
    return listChanges(`finding ${rule}`, before, after);
  });
}

type FactRecord = Readonly<Record<string, FactReport>>;

function factChanges(a: FactRecord, b: FactRecord): readonly Change[] {
  const names = [...new Set([...Object.keys(a), ...Object.keys(b)])];
  return names.flatMap((name) => {
    const [before, after] = [a[name], b[name]];
    return factKey(before) === factKey(after) ? [] : [changedFact(name, before, after)];
  });
}

function changedFact(name: string, before: FactReport | undefined, after: FactReport | undefined): Change {
  const [left, right] = [factText(before), factText(after)];
  // Two spreads may read alike and still differ in the records behind them.
  if (left === right && left !== undefined) {
    return { what: name, before: `${left} (${detail(before)})`, after: `${right} (${detail(after)})` };
  }
  return {
    what: name,
    ...(left === undefined ? {} : { before: left }),
    ...(right === undefined ? {} : { after: right }),
  };
}

const detail = (fact: FactReport | undefined): string =>
  fact?.series === undefined ? stable(fact?.value) : counted(fact.series.records, "record");

/** What of a fact counts as the same: its state and value, not where it was read nor how it is worded. */
function factKey(fact: FactReport | undefined): string {
  if (fact === undefined) return "";
  if (fact.state !== "read") return fact.state;
  const { points: _, ...series } = fact.series ?? { points: [] };
  return stable([fact.state, fact.value, series]);
}

/** JSON with its keys in order, so that two programs' orders do not make a difference. */
const stable = (value: unknown): string =>
  JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === "object" && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  ) ?? "nothing";

function factText(fact: FactReport | undefined): string | undefined {
  if (fact === undefined) return undefined;
  if (fact.state !== "read") return `${fact.state}: ${fact.why ?? "no reason given"}`;
  return fact.text ?? stable(fact.value);
}

const itemText = (value: unknown): string | undefined =>
  value === undefined ? undefined : typeof value === "string" ? value : stable(value);

function cardChanges(a: Report, b: Report): readonly Change[] {
  const items = [...new Set([...Object.keys(a.brief.items), ...Object.keys(b.brief.items)])].sort();
  return [
    ...change("card", a.card.label, b.card.label),
    ...change("layout", a.card.layout, b.card.layout),
    ...change("files on the card", String(a.card.files), String(b.card.files)),
    ...change("bytes on the card", String(a.card.bytes), String(b.card.bytes)),
    ...listChanges(
      "remark",
      a.card.remarks.map((each) => each.says),
      b.card.remarks.map((each) => each.says),
    ),
    ...items.flatMap((item) => change(`brief, ${item}`, itemText(a.brief.items[item]), itemText(b.brief.items[item]))),
    ...listChanges("assumed", Object.keys(a.brief.assumed), Object.keys(b.brief.assumed)),
    ...findingChanges(a.findings, b.findings),
    ...listChanges(
      "not judged",
      (a.unknown ?? []).map((each) => each.says),
      (b.unknown ?? []).map((each) => each.says),
    ),
    ...listChanges("skipped", a.audit.skipped.map(skippedText), b.audit.skipped.map(skippedText)),
    ...change("interrupted", String(a.partial), String(b.partial)),
  ];
}

const skippedText = (each: Report["audit"]["skipped"][number]): string => `${each.path}: ${each.why}`;

const auditChanges = (a: Report, b: Report): readonly Change[] => [
  ...change("goodgate", a.audit.version, b.audit.version),
  ...change("report version", a.format.version, b.format.version),
  ...change("readers", a.audit.readers.join(", "), b.audit.readers.join(", ")),
  ...change("positions in the report", String(a.audit.positions), String(b.audit.positions)),
];

/** Width of the text: the page is read on a terminal or in a mail. */
const textColumns = 100;

/** A comparison as text: what came, what went, and each change with its before and after. */
export function renderComparison(comparison: Comparison): string {
  const { added, gone, moved, changed, card, audit } = comparison;
  const lines: string[] = [];
  const say = (text: string, indent: number): void => {
    for (const line of wrapped(text, textColumns - indent, 4, 6)) lines.push(" ".repeat(indent) + line);
  };
  const counts = [
    ...(added.length === 0 ? [] : [`${added.length} added`]),
    ...(gone.length === 0 ? [] : [`${gone.length} gone`]),
    ...(moved.length === 0 ? [] : [`${moved.length} moved`]),
    ...(changed.length === 0 ? [] : [`${changed.length} changed`]),
  ];
  say(
    comparison.same
      ? "Nothing changed: the same clips, facts, findings and verdicts."
      : counts.length === 0
        ? "The clips are the same; the card or the brief is not."
        : `Clips and stills: ${counts.join(", ")}.`,
    0,
  );
  for (const name of added) say(`added: ${name}`, 2);
  for (const name of gone) say(`gone: ${name}`, 2);
  for (const { from, to } of moved) say(`moved: ${from} -> ${to}`, 2);
  for (const { name, changes } of changed) {
    say(name, 2);
    for (const each of changes) say(changeText(each), 4);
  }
  if (card.length > 0) say("Card and brief:", 0);
  for (const each of card) say(changeText(each), 2);
  if (audit.length > 0) say("The audits themselves differ (not counted as a change):", 0);
  for (const each of audit) say(changeText(each), 2);
  return `${lines.join("\n")}\n`;
}

function changeText({ what, before, after }: Change): string {
  if (before === undefined) return `${what}: new: ${after ?? ""}`;
  if (after === undefined) return `${what}: no longer: ${before}`;
  return `${what}: ${before} -> ${after}`;
}
