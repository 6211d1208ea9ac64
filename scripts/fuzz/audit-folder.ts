import {
  type Clip,
  type ClipJudgement,
  clipText,
  type FactName,
  type StatedBrief,
  type Still,
} from "../../packages/model/src/model.ts";
import {
  confirmProxies,
  findCard,
  findFfprobe,
  groupStills,
  joinSpans,
  readClip,
  readStill,
} from "../../packages/probe/src/probe.ts";
import { buildReport } from "../../packages/report/src/build-report.ts";
import type { Report } from "../../packages/report/src/report.ts";
import { judgeCard } from "../../packages/rules/src/rules.ts";

/** The moment every audit here is made, so that two of them can be compared. */
const now = Date.UTC(2031, 4, 15);

/** What an audit of a folder found, in forms that can be compared. */
export interface FolderAudit {
  readonly clips: ReadonlyMap<string, AuditedClip>;
  readonly stills: readonly Still[];
  readonly report: Report;
}

/** One clip with everything concluded. */
export interface AuditedClip {
  readonly clip: Clip;
  /** Every fact as text, without what only counts bytes and calls. */
  readonly facts: ReadonlyMap<string, string>;
  readonly judged: ClipJudgement;
}

/** Audits a folder as the command line does, without its terminal. `withFfprobe` asks the program too. */
export async function auditFolder(
  folder: string,
  stated: StatedBrief,
  withFfprobe: boolean,
  signal: AbortSignal,
): Promise<FolderAudit> {
  const card = await findCard([folder], signal);
  const ffprobe = async () => (withFfprobe ? await findFfprobe() : undefined);
  const read: Clip[] = [];
  for (const found of card.clips) read.push(await readClip(found, { signal, ffprobe }));
  const photographs: Still[] = [];
  for (const found of card.stills) photographs.push(await readStill(found, signal));
  const clips = joinSpans(confirmProxies(read.filter((clip) => clip.notFootage === undefined)));
  const skipped = read.flatMap((clip) =>
    clip.notFootage === undefined ? [] : [{ path: clip.name, why: clip.notFootage }],
  );
  const { stills, sets } = groupStills(photographs);
  const judgement = judgeCard(clips, stills, sets, card, stated, now);
  const report = buildReport({
    card: { ...card, freeBytes: 0 },
    clips,
    stills,
    sets,
    judgement,
    skipped: [...card.skipped, ...skipped],
    partial: false,
    positions: true,
    audit: { version: "0", startedAt: new Date(now).toISOString(), seconds: 0, jobs: 1 },
  });
  const judged = new Map(judgement.clips.map((each) => [each.name, each]));
  return {
    clips: new Map(
      clips.flatMap((clip) => {
        const of = judged.get(clip.name);
        return of === undefined ? [] : [[clip.name, { clip, facts: factTexts(clip), judged: of }] as const];
      }),
    ),
    stills,
    report,
  };
}

function factTexts(clip: Clip): ReadonlyMap<string, string> {
  const names = (Object.keys(clip.facts) as FactName[]).filter((name) => name !== "fileBytes");
  const alone = (name: FactName): string =>
    clipText({ name: "", files: [], joints: [], facts: { [name]: clip.facts[name] }, readers: [], cost: noCost });
  return new Map(names.sort().map((name) => [name, alone(name)]));
}

const noCost = { bytes: 0, calls: 0, milliseconds: 0 };
