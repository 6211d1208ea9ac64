import type { ClipReport, FindingReport, Report } from "./schema.ts";

/** Findings with one cause, of one clip or of many. */
export interface FindingGroup {
  readonly rule: string;
  readonly grade: FindingReport["grade"];
  /** Names of the clips concerned, in card order; empty for the card as a whole. */
  readonly clips: readonly string[];
  readonly count: number;
  /** The first finding: what stands for the group. */
  readonly first: FindingReport;
  /** Fields in which not all findings are as the first. */
  readonly differs: ReadonlySet<"says" | "remedy" | "onLocation" | "inEdit">;
  /** What was measured, each text once, in order of appearance. */
  readonly measured: ReadonlySet<string>;
}

const compared = ["says", "remedy", "onLocation", "inEdit"] as const;

/** A group that is being counted. */
interface CountedGroup {
  readonly clips: string[];
  count: number;
  readonly first: FindingReport;
  readonly differs: Set<(typeof compared)[number]>;
  readonly measured: Set<string>;
}

/** What could not be judged for one reason, of one clip or of many. */
export interface UnknownGroup {
  readonly rule: string;
  readonly says: string;
  readonly supply: string;
  readonly decides: boolean;
  readonly clips: readonly string[];
}

/** What pages ask of all clips at once, worked out while the clips are gone through one time. */
interface Overview {
  readonly findings: Readonly<Record<FindingReport["grade"], readonly FindingGroup[]>>;
  readonly unknowns: readonly UnknownGroup[];
  readonly shortName: (name: string) => string;
  readonly fileName: (name: string) => string;
}

const overviews = new WeakMap<object, Overview>();

function overviewOf(report: Report): Overview {
  let overview = overviews.get(report);
  if (overview === undefined) overviews.set(report, (overview = makeOverview(report)));
  return overview;
}

function makeOverview(report: Report): Overview {
  const groups = new Map<string, CountedGroup>();
  const add = (finding: FindingReport, clips: readonly string[]): void => {
    const asks = finding.grade === "reshoot" ? (finding.onLocation ?? finding.remedy) : "";
    const key = `${finding.grade}\n${finding.rule}\n${finding.case}\n${finding.use}\n${asks}`;
    const group = groups.get(key);
    if (group === undefined) {
      const measured = new Set([finding.measured.text]);
      groups.set(key, { clips: [...clips], count: 1, first: finding, differs: new Set(), measured });
      return;
    }
    group.count += 1;
    group.measured.add(finding.measured.text);
    for (const field of compared) if (finding[field] !== group.first[field]) group.differs.add(field);
    // A clip may have two findings of one cause; it is one clip.
    for (const name of clips) if (group.clips[group.clips.length - 1] !== name) group.clips.push(name);
  };
  const unknowns = new Map<string, ClipReport["unknown"][number] & { readonly clips: string[] }>();
  const addUnknown = (entry: ClipReport["unknown"][number], clips: readonly string[]): void => {
    if (entry.aside === true) return;
    const key = `${entry.rule}\n${entry.says}\n${entry.supply}\n${entry.decides}`;
    const group = unknowns.get(key);
    if (group === undefined) unknowns.set(key, { ...entry, clips: [...clips] });
    else group.clips.push(...clips);
  };
  const names = nameCounter();
  for (const { name, findings, unknown } of report.clips) {
    names.add(name);
    for (const finding of findings) add(finding, [name]);
    for (const entry of unknown) addUnknown(entry, [name]);
  }
  for (const { name, findings } of report.stills) {
    names.add(name);
    for (const finding of findings) add(finding, [name]);
  }
  for (const finding of report.findings) add(finding, finding.clips ?? []);
  for (const entry of report.unknown ?? []) addUnknown(entry, []);
  const all = [...groups.values()].map((group) => ({ ...group, rule: group.first.rule, grade: group.first.grade }));
  const graded = (grade: FindingReport["grade"]): readonly FindingGroup[] =>
    all.filter((group) => group.grade === grade);
  return {
    findings: { reshoot: graded("reshoot"), workable: graded("workable"), note: graded("note") },
    unknowns: [...unknowns.values()].sort((a, b) => Number(b.decides) - Number(a.decides)),
    shortName: names.short,
    fileName: names.file,
  };
}

/**
 * Findings of one grade, those of the same cause together, in the order their causes first appear. Findings of grade
 * reshoot stay apart when they ask for different settings, since that is what is read from them.
 */
export const groupFindings = (report: Report, grade: FindingReport["grade"]): readonly FindingGroup[] =>
  overviewOf(report).findings[grade];

/** What could not be judged, one reason together, those that decide a verdict first; asides are left out. */
export const groupUnknowns = (report: Report): readonly UnknownGroup[] => overviewOf(report).unknowns;

/** Measured values named before the rest is counted. */
const mostMeasured = 3;

/**
 * One sentence for a group: the finding's own when all say the same, else the values measured, the limit and what to do.
 */
export function groupSays(group: FindingGroup): string {
  const { first, differs } = group;
  if (!differs.has("says")) return first.says;
  const measured = [...group.measured];
  const more = measured.length > mostMeasured ? ` and ${measured.length - mostMeasured} more values` : "";
  const remedy = !differs.has("remedy") ? first.remedy : "what to do differs by clip, see the report.";
  const values = measured.slice(0, mostMeasured).join(", ") + more;
  return `${first.rule.replaceAll("-", " ")}: ${values} against ${first.limit.text}: ${remedy}`;
}

const base = (name: string): string => name.slice(name.lastIndexOf("/") + 1);
const stem = (name: string): string => base(name).replace(/(?<=.)\.[^.]*$/, "");

/** Short names for pages with little room: no folder and no ending where that is unique, else no folder, else the path. */
export const shortNames = (report: Report): ((name: string) => string) => overviewOf(report).shortName;

/** The file name of a clip where it is the only one so called, else its whole path. */
export const fileNames = (report: Report): ((name: string) => string) => overviewOf(report).fileName;

function nameCounter(): { add(name: string): void; short(name: string): string; file(name: string): string } {
  const counts = new Map<string, number>();
  const count = (name: string): void => void counts.set(name, (counts.get(name) ?? 0) + 1);
  return {
    add(name) {
      count(base(name));
      if (stem(name) !== base(name)) count(stem(name));
    },
    short: (name) => [stem(name), base(name)].find((each) => each !== "" && counts.get(each) === 1) ?? name,
    file: (name) => (counts.get(base(name)) === 1 ? base(name) : name),
  };
}

/** `CLIP0004` for one, `7 clips` for more, nothing for the card as a whole. */
export function whose(clips: readonly string[], short: (name: string) => string): string {
  if (clips.length === 1) return short(clips[0] ?? "");
  return clips.length === 0 ? "card" : `${clips.length} clips`;
}
