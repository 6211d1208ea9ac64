import type { FactName, StatedBrief } from "@goodgate/model";
import type { Report } from "@goodgate/report";
import type { CardReading } from "./read-card.ts";
import { version } from "./version.ts";

/** Up to here a report takes so little memory that looking for equal parts costs more time than it is worth. */
const manyClips = 500;

/** What an audit knows beside the card and the brief. */
export interface AuditConditions {
  /** Start and end, milliseconds since 1970. */
  readonly began: number;
  readonly now: number;
  readonly positions: boolean;
  /** Whether equal parts of clips are to be one object; by the number of clips when left out. */
  readonly many?: boolean;
  /** Facts of each clip wanted in the report; all of them, with what is drawn, when left out. */
  readonly only?: readonly FactName[];
  /** Name of the brief file. */
  readonly source?: string;
}

/** Judges what was read and puts the report together. */
export async function assembleReport(
  reading: CardReading,
  stated: StatedBrief,
  conditions: AuditConditions,
): Promise<Report> {
  const [{ judgeEach }, { startReport }] = await Promise.all([
    import("@goodgate/rules"),
    import("@goodgate/report/build"),
  ]);
  const { card, stills, sets } = reading;
  const report = startReport({
    positions: conditions.positions,
    many: conditions.many ?? reading.clips.length > manyClips,
    ...(conditions.only === undefined ? {} : { only: conditions.only }),
  });
  const conclusion = judgeEach({ clips: reading.clips, stills, sets, card, stated, now: conditions.began }, report.add);
  const frame = {
    card,
    stills,
    sets,
    conclusion,
    skipped: reading.skipped,
    partial: reading.partial,
    ...(conditions.source === undefined ? {} : { briefSource: conditions.source }),
    audit: {
      version,
      startedAt: new Date(conditions.began).toISOString(),
      seconds: (conditions.now - conditions.began) / 1000,
      jobs: reading.jobs,
      earlier: reading.earlier,
      ...(reading.ffprobe === undefined ? {} : { ffprobe: reading.ffprobe }),
    },
  };
  return report.finish(frame);
}
