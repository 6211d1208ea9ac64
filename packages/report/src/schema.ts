import { z } from "zod";
import { reportVersion } from "./report-version.ts";

export { reportVersion };

const ratioText = z
  .string()
  .regex(/^-?\d+\/\d+$/)
  .describe("An exact ratio as numerator/denominator, like 24000/1001");

const origin = z.object({
  kind: z.enum(["container", "per-frame record", "sidecar", "still", "file system", "measured", "inferred"]),
  file: z.string().optional().describe("Path inside the card; the clip's own first file when absent"),
  place: z.string().describe("Box path, line, track or tag; for an inference, what it rests on"),
  reader: z.string().optional().describe("Program that read it; goodgate itself when absent"),
});

const scalar = z.union([z.string(), z.number(), z.boolean()]);
const value = z.union([scalar, z.array(z.unknown()), z.record(z.string(), z.unknown())]);

const series = z.object({
  typical: scalar.describe("The value half of the recorded time lies at or below; for words the one held longest"),
  first: scalar,
  least: scalar,
  most: scalar,
  records: z.number().int().describe("Records the series was made from"),
  coverage: z.number().describe("Share of the clip the records speak for, 0 to 1"),
  points: z
    .array(z.tuple([z.number(), scalar]))
    .describe("Start in seconds and value of at most 240 runs, for drawing; decimal numbers for ratios"),
});

const fact = z.object({
  state: z.enum(["read", "absent", "damaged"]),
  value: value.optional().describe("Ratios as text like 24000/1001; for a fact that changes, the typical value"),
  decimal: z.number().optional().describe("The same as a decimal number, when value is a ratio"),
  unit: z.string().optional(),
  labelsPerSecond: z.number().optional().describe("For timecode: labels a second, 24, 25, 30, 50 or 60"),
  text: z.string().optional().describe("As a person reads it"),
  origin: origin.optional(),
  why: z.string().optional().describe("Why it is absent or damaged"),
  series: series.optional(),
  witnesses: z.array(z.object({ value: z.string(), origin, agrees: z.boolean() })).optional(),
  broken: z
    .array(z.object({ why: z.string(), origin }))
    .optional()
    .describe("Other sources of a fact that was read, which are damaged"),
});

const amount = z.object({ value: z.union([z.number(), z.string()]), unit: z.string(), text: z.string() });

const finding = z.object({
  rule: z.string(),
  case: z.string().optional(),
  grade: z.enum(["reshoot", "workable", "note"]),
  says: z.string(),
  measured: amount,
  limit: amount.extend({ origin: z.enum(["brief", "default", "computed", "standard", "house limit"]) }),
  remedy: z.string(),
  onLocation: z.string().optional(),
  inEdit: z.string().optional(),
  use: z.enum(["real time", "slow"]).optional(),
  atSeconds: z.array(z.number()).optional(),
  assumed: z.array(z.string()).optional().describe("Brief items this hangs on that nobody stated"),
  clips: z.array(z.string()).optional().describe("Clips concerned, for findings about the card"),
  stills: z.array(z.string()).optional().describe("Stills concerned, for findings about the card"),
});

const unknown = z.object({
  rule: z.string(),
  missing: z.array(z.string()),
  says: z.string(),
  supply: z.string().describe("What would supply the answer"),
  decides: z.boolean().describe("Whether the verdict is unknown because of it"),
  aside: z.literal(true).optional().describe("A side question no record answers; pages for people leave it out"),
});

const verdict = z.enum(["clean", "workable", "unknown", "reshoot"]);

const clip = z.object({
  name: z.string().describe("Path inside the card of the first original file"),
  files: z.array(z.string()).describe("Paths inside the card, originals first"),
  parts: z.array(
    z.object({
      path: z.string(),
      role: z.enum(["original", "part", "proxy", "telemetry", "metadata", "thumbnail", "sound"]),
      bytes: z.number(),
      frames: z.number().optional().describe("Frames of this file, for the files of a recording the camera split"),
      modified: z.string().optional(),
    }),
  ),
  verdict,
  plan: z.object({
    use: z.enum(["real time", "slow", "none"]),
    speed: ratioText.describe("Playback speed to set for the file as it lies on the card"),
    percent: z.string().describe("The same as an editor types it"),
    cadence: z.string(),
    timelineSeconds: ratioText.optional().describe("Time it fills on the timeline at that speed"),
  }),
  uses: z.array(
    z.object({
      use: z.enum(["real time", "slow"]),
      sceneSpeed: ratioText,
      speed: ratioText,
      cadence: z.string(),
      clean: z.boolean(),
      angleDegrees: z.number().optional().describe("Shutter angle as the viewer sees it"),
      angleOrigin: z
        .literal("measured")
        .optional()
        .describe("Set when the angle is from the blur of the pictures; without it, it is from the record"),
      verdict,
      timelineSeconds: ratioText.optional(),
    }),
  ),
  light: z
    .object({
      typicalEv: z.number(),
      leastEv: z.number(),
      mostEv: z.number(),
      overStops: z.number().describe("Stops too bright for the wanted shutter at base ISO; negative when too dark"),
      idealNdFactor: z.number(),
      ndFactorAtHand: z.number().optional(),
    })
    .optional()
    .describe("Light of the scene by the settings of every record, EV at ISO 100"),
  facts: z.record(z.string(), fact),
  findings: z.array(finding),
  unknown: z.array(unknown),
  passed: z.array(z.string()).describe("Rules that were asked and found nothing"),
  suppressed: z.array(z.string()).optional().describe("Rules whose findings follow from another finding here"),
  joints: z
    .array(z.object({ afterPart: z.number(), gapFrames: z.number().optional(), evidence: z.array(z.string()) }))
    .optional(),
  readers: z.array(z.string()),
  bytesRead: z.number(),
});

const still = z.object({
  name: z.string(),
  files: z.array(z.string()),
  set: z.string().optional(),
  facts: z.record(z.string(), fact),
  findings: z.array(finding),
});

const settingsRow = z.object({
  captureRate: ratioText,
  shutterSeconds: ratioText,
  angleDegrees: z.number().describe("Shutter angle at capture"),
  iso: z.number().optional().describe("Absent when the light or the aperture is not known"),
  ndFactor: z.number().optional().describe("1 means no filter; absent when the light or the aperture is not known"),
  ndAtHand: z.boolean().optional(),
  uses: z.array(z.string()),
  cannot: z.array(z.string()).describe("What this light does not allow"),
  says: z.string(),
  possible: z.boolean(),
});

/** The shape of report.json. Everything else goodgate writes is made from it. */
export const reportSchema = z.object({
  format: z.object({ name: z.literal("goodgate report"), version: z.string() }),
  partial: z.boolean().describe("True when the audit was interrupted: clips not reached are in audit.skipped"),
  answer: z.object({
    says: z.string().describe("Can I pack up?"),
    reshoot: z.array(z.string()),
    unknown: z.array(z.string()),
  }),
  card: z.object({
    label: z.string(),
    layout: z.string(),
    files: z.number(),
    bytes: z.number(),
    freeBytes: z.number().optional(),
    firstStart: z.string().optional(),
    lastStart: z.string().optional(),
    remarks: z.array(z.object({ kind: z.string(), says: z.string(), paths: z.array(z.string()) })),
  }),
  brief: z.object({
    items: z.record(z.string(), z.unknown()).describe("Every item in force; rates and speeds as ratios"),
    assumed: z.record(z.string(), z.string()).describe("Items nobody stated, and the default in force"),
    source: z.string().optional().describe("Name of the brief file, when there was one"),
  }),
  counts: z.object({
    clips: z.number(),
    clean: z.number(),
    workable: z.number(),
    unknown: z.number(),
    reshoot: z.number(),
    stills: z.number(),
    skipped: z.number(),
    findings: z.object({ reshoot: z.number(), workable: z.number(), note: z.number() }),
  }),
  fits: z
    .array(z.object({ timelineRate: ratioText, clips: z.number(), afterRetime: z.number(), uneven: z.number() }))
    .describe("Clips that play evenly in real time on each rate"),
  usable: z.object({ realTimeSeconds: z.number(), slowSeconds: z.number() }),
  clips: z.array(clip),
  stills: z.array(still),
  sets: z.array(
    z.object({
      id: z.string(),
      kind: z.enum(["bracket", "burst", "timelapse", "sequence"]),
      names: z.array(z.string()),
      intervalSeconds: z.number().optional(),
      exposureStops: z.array(z.number()).optional(),
      missingNumbers: z.array(z.number()),
    }),
  ),
  findings: z.array(finding).describe("Findings about the card as a whole"),
  unknown: z.array(unknown).optional().describe("Questions about the card that could not be answered"),
  nextFlight: z
    .object({
      lightEv: z.number().optional().describe("EV at ISO 100 the rows are made for"),
      lightFrom: z.string().optional().describe("The clip the light was taken from, or the brief"),
      fNumber: z.number().optional(),
      says: z.array(z.string()),
      rows: z.array(settingsRow),
      caution: z.string(),
    })
    .optional(),
  audit: z.object({
    tool: z.literal("goodgate"),
    version: z.string(),
    startedAt: z.string(),
    seconds: z.number(),
    jobs: z.number(),
    readers: z.array(z.string()).describe("Programs that read files, with versions"),
    ffprobe: z.string().optional().describe("The ffprobe at hand, its version and where it was found"),
    bytesRead: z.number(),
    readCalls: z.number(),
    skipped: z.array(
      z.object({
        path: z.string(),
        why: z.string(),
        bytes: z.number().optional(),
        unread: z.literal(true).optional().describe("Footage may lie there that nobody could look at"),
      }),
    ),
    positions: z.boolean().describe("Whether positions are in the report"),
  }),
});

/** A whole report. */
export type Report = z.infer<typeof reportSchema>;
/** One clip of a report. */
export type ClipReport = Report["clips"][number];
/** One fact of a report. */
export type FactReport = z.infer<typeof fact>;
/** One finding of a report. */
export type FindingReport = z.infer<typeof finding>;
/** One still of a report. */
export type StillReport = Report["stills"][number];

/** Fields that differ between two audits of the same card, for comparing reports. */
export const volatileFields = ["audit.startedAt", "audit.seconds", "audit.jobs", "card.freeBytes"] as const;

/** The JSON Schema of the report (draft 2020-12). */
export const reportJsonSchema = (): unknown => ({
  $id: `https://goodgate.invalid/report-${reportVersion}.schema.json`,
  title: `goodgate report ${reportVersion}`,
  ...(z.toJSONSchema(reportSchema) as object),
});
