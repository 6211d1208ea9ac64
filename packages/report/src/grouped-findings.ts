import type { ClipReport, FindingReport, Report } from "./schema.ts";

/** Findings with one cause, of one clip or of many. */
export interface FindingGroup {
  readonly rule: string;
  readonly grade: FindingReport["grade"];
  /** Names of the clips concerned, in card order; empty for the card as a whole. */
  readonly clips: readonly string[];
  readonly findings: readonly FindingReport[];
  /** The first finding: what stands for the group. */
  readonly first: FindingReport;
}

/** What could not be judged for one reason, of one clip or of many. */
export interface UnknownGroup {
  readonly rule: string;
  readonly says: string;
  readonly supply: string;
  readonly decides: boolean;
  readonly clips: readonly string[];
}

/**
 * Findings of one grade, those of the same cause together, in the order their causes first appear. Findings of grade
 * reshoot stay apart when they ask for different settings, since that is what is read from them.
 */
export function groupFindings(report: Report, grade: FindingReport["grade"]): readonly FindingGroup[] {
  const groups = new Map<string, { clips: string[]; findings: FindingReport[]; first: FindingReport }>();
  const add = (finding: FindingReport, clips: readonly string[]): void => {
    if (finding.grade !== grade) return;
    const asks = grade === "reshoot" ? (finding.onLocation ?? finding.remedy) : "";
    const key = JSON.stringify([finding.rule, finding.case, finding.use, asks]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { clips: [...clips], findings: [finding], first: finding });
    else {
      group.findings.push(finding);
      // A clip may have two findings of one cause; it is one clip.
      for (const name of clips) if (group.clips[group.clips.length - 1] !== name) group.clips.push(name);
    }
  };
  for (const clip of report.clips) for (const finding of clip.findings) add(finding, [clip.name]);
  for (const still of report.stills) for (const finding of still.findings) add(finding, [still.name]);
  for (const finding of report.findings) add(finding, finding.clips ?? []);
  return [...groups.values()].map((group) => ({ ...group, rule: group.first.rule, grade }));
}

/** What could not be judged, one reason together, those that decide a verdict first; asides are left out. */
export function groupUnknowns(report: Report): readonly UnknownGroup[] {
  const groups = new Map<string, ClipReport["unknown"][number] & { readonly clips: string[] }>();
  const add = (entry: ClipReport["unknown"][number], clips: readonly string[]): void => {
    if (entry.aside === true) return;
    const key = JSON.stringify([entry.rule, entry.says, entry.supply, entry.decides]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { ...entry, clips: [...clips] });
    else group.clips.push(...clips);
  };
  for (const clip of report.clips) for (const entry of clip.unknown) add(entry, [clip.name]);
  for (const entry of report.unknown ?? []) add(entry, []);
  return [...groups.values()].sort((a, b) => Number(b.decides) - Number(a.decides));
}

/** Measured values named before the rest is counted. */
const mostMeasured = 3;

/**
 * One sentence for a group: the finding's own when all say the same, else the values measured, the limit and what to do.
 */
export function groupSays(group: FindingGroup): string {
  const { first, findings } = group;
  if (findings.every((finding) => finding.says === first.says)) return first.says;
  const measured = [...new Set(findings.map((finding) => finding.measured.text))];
  const more = measured.length > mostMeasured ? ` and ${measured.length - mostMeasured} more values` : "";
  const remedies = new Set(findings.map((finding) => finding.remedy));
  const remedy = remedies.size === 1 ? first.remedy : "what to do differs by clip, see the report.";
  const values = measured.slice(0, mostMeasured).join(", ") + more;
  return `${first.rule.replaceAll("-", " ")}: ${values} against ${first.limit.text}: ${remedy}`;
}

const base = (name: string): string => name.slice(name.lastIndexOf("/") + 1);
const stem = (name: string): string => base(name).replace(/(?<=.)\.[^.]*$/, "");

/** Short names for pages with little room: no folder and no ending where that is unique, else no folder, else the path. */
export function shortNames(report: Report): (name: string) => string {
  const counts = new Map<string, number>();
  const count = (name: string): void => void counts.set(name, (counts.get(name) ?? 0) + 1);
  for (const { name } of [...report.clips, ...report.stills]) {
    count(base(name));
    if (stem(name) !== base(name)) count(stem(name));
  }
  return (name) => [stem(name), base(name)].find((each) => each !== "" && counts.get(each) === 1) ?? name;
}

/** `CLIP0004` for one, `7 clips` for more, nothing for the card as a whole. */
export function whose(clips: readonly string[], short: (name: string) => string): string {
  if (clips.length === 1) return short(clips[0] ?? "");
  return clips.length === 0 ? "card" : `${clips.length} clips`;
}
