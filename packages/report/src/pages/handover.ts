import { parseRatio, rateLabel } from "@goodgate/model";
import { assumedItems, briefText } from "../brief-text.ts";
import { counted, secondsText, shortNumber } from "../fact-values.ts";
import { type FindingGroup, groupFindings, groupSays, groupUnknowns, shortNames } from "../grouped-findings.ts";
import { sentences } from "../printed-text.ts";
import { visible } from "../visible.ts";
import { lookedLine } from "../looked-line.ts";
import { inShootingOrder } from "../recorded-at.ts";
import type { ClipReport, Report } from "../schema.ts";

/** Texts past this are cut: a sentence of a rule is under 140 characters. */
const longestText = 400;
/** Names given in one list before the rest is counted; report.csv has them all. */
const mostNames = 40;
/** Stretches listed for one clip; with more faults than this it is cut by eye. */
const mostStretches = 12;
/** Shorter stretches are of no use in an edit (common practice, no source). */
const leastStretchSeconds = 1;

/** Text from a card as Markdown that shows it and does nothing else: no markup, no links, no line ends. */
export function markdownText(text: string): string {
  const line = visible(text.length > longestText ? `${text.slice(0, longestText)}…` : text);
  return (
    line
      .replace(/[\\`*_[\]<>|&~#@$^]/g, "\\$&")
      // What some readers turn into links by themselves.
      .replace(/:(?=\/\/)/g, "\\:")
      .replace(/\b(www)\./gi, "$1\\.")
      // At the start of a line these would open a list, a rule or a heading.
      .replace(/^(\s*)([-+=])/, "$1\\$2")
      .replace(/^(\s*\d+)([.)])(?=\s|$)/, "$1\\$2")
  );
}

/** The page for the editor: what fits, what to set on each clip, what needs work, what is left out, in plain words. */
export function renderHandover(report: Report): string {
  const short = shortNames(report);
  const sections = [
    opening(report),
    section("Timeline", timeline(report)),
    section("Speeds to set", speeds(report, short)),
    section("Needs work", work(report, short)),
    section("Clean stretches", stretches(report, short)),
    section("What the pictures show", shown(report, short)),
    section("Recordings in several files", spans(report, short)),
    section("Proxies", proxies(report, short)),
    section("Left out", leftOut(report, short)),
    section("Not judged", notJudged(report, short)),
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join("\n"))
    .join("\n\n")}\n`;
}

const section = (title: string, lines: readonly string[]): readonly string[] =>
  lines.length === 0 ? [] : [`## ${title}`, "", ...lines];

function names(list: readonly string[], short: (name: string) => string): string {
  const shown = list.slice(0, mostNames).map((name) => markdownText(short(name)));
  return list.length > mostNames ? `${shown.join(", ")} and ${list.length - mostNames} more` : shown.join(", ");
}

function opening(report: Report): readonly string[] {
  const { counts, usable } = report;
  const assumed = assumedItems(report);
  return [
    `# Handover: ${markdownText(report.card.label)}`,
    "",
    `${counted(counts.clips, "clip")}: ${counts.clean} clean, ${counts.workable} workable, ` +
      `${counts.unknown} not judged, ${counts.reshoot} to be flown again. ` +
      `Usable: ${secondsText(usable.realTimeSeconds)} in real time, ${secondsText(usable.slowSeconds)} slow.`,
    ...(report.partial ? ["", "The audit was interrupted: not every clip was read."] : []),
    "",
    `Brief: ${markdownText(briefText(report))}.` +
      (assumed.length === 0 ? "" : ` Nobody stated, so assumed: ${markdownText(assumed.join(", "))}.`),
  ];
}

const rateName = (text: string): string => {
  const rate = parseRatio(text);
  return rate === undefined ? markdownText(text) : rateLabel(rate);
};

function timeline(report: Report): readonly string[] {
  const rate = String(report.brief.items["timelineRate"] ?? "");
  const chosen = report.fits.find((fit) => fit.timelineRate === rate);
  const lines: string[] = [];
  if (chosen !== undefined) {
    const retime = chosen.afterRetime === 0 ? "" : `, ${chosen.afterRetime} more after a small retime`;
    const uneven = chosen.uneven === 0 ? "" : `, ${chosen.uneven} unevenly`;
    lines.push(
      `At ${rateName(rate)} fps ${counted(chosen.clips, "clip")} of ${report.counts.clips} play evenly in real time${retime}${uneven}.`,
    );
  }
  const better = report.fits.filter((fit) => fit.timelineRate !== rate && fit.clips > (chosen?.clips ?? 0));
  if (better.length > 0) {
    const list = better.map((fit) => `${rateName(fit.timelineRate)} fps (${fit.clips})`);
    lines.push(`More clips play evenly at ${list.join(", ")}.`);
  }
  return lines;
}

/** Clips that can be used, by the speed to set: one line a speed. */
function speeds(report: Report, short: (name: string) => string): readonly string[] {
  const groups = new Map<string, { readonly plan: ClipReport["plan"]; readonly clips: string[] }>();
  for (const clip of inShootingOrder(report.clips)) {
    if ((clip.verdict !== "clean" && clip.verdict !== "workable") || clip.plan.use === "none") continue;
    const key = `${clip.plan.use}\n${clip.plan.speed}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { plan: clip.plan, clips: [clip.name] });
    else group.clips.push(clip.name);
  }
  return [...groups.values()].map(({ plan: { use, speed, percent }, clips }) => {
    const exact = speed === "1/1" ? "" : `, exactly ${speed}`;
    const list = names(clips, short);
    return `- **${markdownText(percent)}**${exact} (${use}), ${counted(clips.length, "clip")}: ${list}`;
  });
}

/** Findings the edit can mend, by cause; those of clips that are left out are not the editor's. */
function work(report: Report, short: (name: string) => string): readonly string[] {
  const usable = new Set<string>();
  for (const clip of report.clips) if (clip.verdict === "workable") usable.add(clip.name);
  return groupFindings(report, "workable").flatMap((group) => {
    const clips = group.clips.filter((name) => usable.has(name));
    return clips.length === 0 && group.clips.length > 0 ? [] : [workLine(group, clips, short)];
  });
}

function workLine(group: FindingGroup, clips: readonly string[], short: (name: string) => string): string {
  const { inEdit } = group.first;
  const edit = inEdit === undefined || group.differs.has("inEdit") ? "" : `In the edit: ${inEdit}`;
  const whose = clips.length === 0 ? "Card" : names(clips, short);
  return `- ${whose}: ${markdownText(sentences(groupSays(group), edit))}`;
}

/** Between the times that findings name, for usable clips: in and out in the clip's own time. */
function stretches(report: Report, short: (name: string) => string): readonly string[] {
  return Array.from(inShootingOrder(report.clips), (clip): readonly string[] => {
    if (clip.verdict !== "workable" && clip.verdict !== "clean") return [];
    const times = clip.findings.flatMap((finding) => (finding.grade === "note" ? [] : (finding.atSeconds ?? [])));
    const end = clip.facts["durationSeconds"]?.decimal;
    const cuts = [...new Set(times)].filter((at) => at > 0 && (end === undefined || at < end)).sort((a, b) => a - b);
    if (cuts.length === 0 || end === undefined) return [];
    if (cuts.length >= mostStretches) {
      return [`- ${markdownText(short(clip.name))}: ${cuts.length} places to avoid, see the markers of report.otio`];
    }
    const edges = [0, ...cuts, end];
    const all = edges.slice(1).map((to, place) => [edges[place] ?? 0, to] as const);
    const useful = all.filter(([from, to]) => to - from >= leastStretchSeconds);
    const list = useful.map(([from, to]) => `${shortNumber(from)} to ${shortNumber(to)} s`);
    const whole = useful.length === 0 ? `none of ${leastStretchSeconds} s or longer` : list.join(", ");
    const left = useful.length === 0 || useful.length === all.length ? "" : "; shorter ones left out";
    return [`- ${markdownText(short(clip.name))}: ${whole}${left}`];
  }).flat();
}

/** What only the pictures tell and an editor has to know: angles no record gives, and stretches to cut out. */
function shown(report: Report, short: (name: string) => string): readonly string[] {
  const angles: string[] = [];
  const cuts: string[] = [];
  for (const clip of inShootingOrder(report.clips)) {
    if (clip.verdict === "reshoot") continue;
    const use = clip.uses.find((each) => each.use === clip.plan.use && each.angleOrigin === "measured");
    if (use?.angleDegrees !== undefined) angles.push(`${short(clip.name)} ${Math.round(use.angleDegrees)}°`);
    for (const { rule, says } of clip.findings) {
      if (rule === "black-frozen") cuts.push(`- ${markdownText(short(clip.name))}: ${markdownText(says)}`);
    }
  }
  const looked = lookedLine(report);
  const lines = [
    ...(angles.length === 0
      ? []
      : [`- Shutter angle from motion blur, not from a record: ${names(angles, (name) => name)}`]),
    ...cuts.slice(0, mostNames),
    ...(cuts.length > mostNames ? [`- and ${cuts.length - mostNames} more`] : []),
  ];
  if (looked === undefined) return lines;
  return [looked, ...(lines.length === 0 ? [] : ["", ...lines])];
}

function spans(report: Report, short: (name: string) => string): readonly string[] {
  return Array.from(report.clips, (clip): readonly string[] => {
    const files = clip.parts.filter((part) => part.role === "original" || part.role === "part");
    if (files.length < 2) return [];
    const gaps = (clip.joints ?? []).map((joint) => {
      if (joint.gapFrames === undefined) return "a join not measured";
      if (joint.gapFrames === 0) return "no frame missing";
      const count = counted(Math.abs(joint.gapFrames), "frame");
      return joint.gapFrames > 0 ? `${count} missing at the join` : `${count} doubled at the join`;
    });
    const list = files.map((file) => markdownText(file.path.slice(file.path.lastIndexOf("/") + 1)));
    const joins = gaps.length === 0 ? "" : `; ${[...new Set(gaps)].join(", ")}`;
    return [`- ${markdownText(short(clip.name))}: ${list.join(" + ")}${joins}`];
  }).flat();
}

function proxies(report: Report, short: (name: string) => string): readonly string[] {
  const pairs = Array.from(report.clips, (clip) =>
    clip.parts.filter((part) => part.role === "proxy").map((part) => ({ clip: clip.name, proxy: part.path })),
  ).flat();
  if (pairs.length === 0) return [];
  const shown = pairs.slice(0, mostNames).map(({ clip, proxy }) => {
    const file = proxy.slice(proxy.lastIndexOf("/") + 1);
    return `- ${markdownText(file)} stands for ${markdownText(short(clip))}`;
  });
  return pairs.length > mostNames ? [...shown, `- and ${pairs.length - mostNames} more`] : shown;
}

function leftOut(report: Report, short: (name: string) => string): readonly string[] {
  return groupFindings(report, "reshoot")
    .filter((group) => group.clips.length > 0)
    .map((group) => `- ${names(group.clips, short)}: ${markdownText(groupSays(group))}`);
}

function notJudged(report: Report, short: (name: string) => string): readonly string[] {
  return groupUnknowns(report)
    .filter((group) => group.decides)
    .map((group) => {
      const whose = group.clips.length === 0 ? "Card" : names(group.clips, short);
      return `- ${whose}: ${markdownText(sentences(group.says, group.supply))}`;
    });
}
