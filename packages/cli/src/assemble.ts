import type { StatedBrief } from "@goodgate/model";
import type { Report } from "@goodgate/report";
import type { CardReading } from "./read-card.ts";
import { version } from "./version.ts";

/** What an audit knows beside the card and the brief. */
export interface AuditConditions {
  /** Start and end, milliseconds since 1970. */
  readonly began: number;
  readonly now: number;
  readonly positions: boolean;
  /** Name of the brief file. */
  readonly source?: string;
}

/** Judges what was read and puts the report together. */
export async function assembleReport(
  reading: CardReading,
  stated: StatedBrief,
  conditions: AuditConditions,
): Promise<Report> {
  const [{ judgeCard }, { buildReport }] = await Promise.all([
    import("@goodgate/rules"),
    import("@goodgate/report/build"),
  ]);
  const judgement = judgeCard(reading.clips, reading.stills, reading.sets, reading.card, stated, conditions.began);
  return buildReport({
    card: reading.card,
    clips: reading.clips,
    stills: reading.stills,
    sets: reading.sets,
    judgement,
    skipped: reading.skipped,
    partial: reading.partial,
    positions: conditions.positions,
    ...(conditions.source === undefined ? {} : { briefSource: conditions.source }),
    audit: {
      version,
      startedAt: new Date(conditions.began).toISOString(),
      seconds: (conditions.now - conditions.began) / 1000,
      jobs: reading.jobs,
      earlier: reading.earlier,
      ...(reading.ffprobe === undefined ? {} : { ffprobe: reading.ffprobe }),
    },
  });
}
