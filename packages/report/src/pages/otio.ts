import {
  compare,
  divide,
  floor,
  isWhole,
  multiply,
  one,
  parseRatio,
  type Ratio,
  ratio,
  ratioText,
  round,
  timecodeFrame,
  toNumber,
} from "@goodgate/model";
import { sentences } from "../printed-text.ts";
import { visible } from "../visible.ts";
import { inShootingOrder } from "../recorded-at.ts";
import type { ClipReport, FindingReport, Report } from "../schema.ts";
import { textPieces } from "./json.ts";

/*
 * Field names and schema versions are those of OpenTimelineIO's own documentation of its serialized data (docs/tutorials/
 * otio-serialized-schema-only-fields.md in its repository). Two of its conventions decide the numbers here:
 * - The length of a clip's source_range is its length in the track (time-ranges.md: trimmed_range "tells you how long the
 *   Clip is meant to be in its parent Track"); effects do not change it. Of a clip with a LinearTimeWarp, that length
 *   times time_scalar is the length of media it uses.
 * - A RationalTime is two floating-point numbers. Whole numbers of frames are exact in them, 1/1001ths are not, so all
 *   lengths in tracks are whole timeline frames, all places in media whole frames at the clip's own rate. Rates past the
 *   decimal point are in the metadata as ratios.
 */

type Plain = Readonly<Record<string, unknown>>;

const time = (frames: bigint | number, rate: Ratio): Plain => ({
  OTIO_SCHEMA: "RationalTime.1",
  rate: toNumber(rate),
  value: Number(frames),
});

const range = (start: Plain, duration: Plain): Plain => ({
  OTIO_SCHEMA: "TimeRange.1",
  duration,
  start_time: start,
});

/** One file as it goes into the track, or a recording whose files have no known lengths of their own. */
interface Piece {
  readonly clip: ClipReport;
  readonly name: string;
  /** Path inside the card; undefined when no single file holds the piece. */
  readonly file?: string;
  readonly rate: Ratio;
  readonly speed: Ratio;
  /** Frames of the media before this piece, for the parts of a split recording. */
  readonly before: number;
  readonly frames: number;
  /** Number of the media's first frame by its own timecode. */
  readonly mediaStart: number;
  /** Whole frames of timeline. */
  readonly length: bigint;
}

/** Names past this are cut: they are read in a track's label. */
const longestName = 200;
const shown = (text: string): string => visible(text.slice(0, longestName));

/**
 * The usable clips as an OpenTimelineIO timeline at the brief's rate: clean and workable clips in shooting order, each at
 * its planned speed, media named by paths relative to the card, a marker wherever a finding names a time. What is left
 * out is listed with the reason in the timeline's metadata.
 */
export const renderOtio = (report: Report): string => [...otioPieces(report)].join("");

/** The same text piece by piece, one clip at a time. */
export function* otioPieces(report: Report): Generator<string> {
  const rate = timelineRate(report);
  const left: { readonly name: string; readonly why: string }[] = [];
  let sounds = false;
  for (const clip of inShootingOrder(report.clips)) {
    const found = piecesOf(clip, rate);
    if (typeof found === "string") left.push({ name: shown(clip.name), why: found });
    else sounds ||= found.some(hasSound);
  }
  /** Every piece of the timeline, made anew each time it is gone through. */
  const pieces = function* <T>(make: (piece: Piece) => T): Generator<T> {
    for (const clip of inShootingOrder(report.clips)) {
      const found = piecesOf(clip, rate);
      if (typeof found !== "string") for (const piece of found) yield make(piece);
    }
  };
  const tracks = [
    track(
      "Video",
      "Clips",
      pieces((piece) => videoClip(piece, rate)),
    ),
  ];
  if (sounds) {
    const sound = pieces((piece) => (hasSound(piece) ? soundClip(piece, rate) : gap(piece.length, rate)));
    tracks.push(track("Audio", "Sound", sound));
  }
  yield* textPieces({
    OTIO_SCHEMA: "Timeline.1",
    global_start_time: null,
    metadata: { goodgate: { version: report.audit.version, timelineRate: ratioText(rate), leftOut: left } },
    name: shown(report.card.label),
    tracks: { ...item("Stack.1", "tracks"), children: tracks },
  });
  yield "\n";
}

function timelineRate(report: Report): Ratio {
  const stated = parseRatio(String(report.brief.items["timelineRate"] ?? ""));
  return stated !== undefined && stated.numerator > 0n ? stated : ratio(25n);
}

/** The pieces of a clip, or why it is not on the timeline. */
function piecesOf(clip: ClipReport, timeline: Ratio): readonly Piece[] | string {
  if (clip.verdict === "reshoot") return "to be flown again";
  if (clip.verdict === "unknown") return "could not be judged";
  if (clip.plan.use === "none") return "no use fits the brief";
  const rate = positive(clip.facts["frameRate"]?.value);
  const speed = positive(clip.plan.speed);
  const frames = clip.facts["frames"]?.value;
  if (rate === undefined || speed === undefined || !isCount(frames)) return "frame rate or frame count not known";
  const parts = clip.parts.filter((part) => part.role === "original" || part.role === "part");
  const base = { clip, rate, speed };
  const start = mediaStart(clip, rate);
  const counts = parts.map((part) => part.frames);
  // Parts with lengths that do not add up to the recording are no ground to cut on.
  const known = counts.every(isCount) && counts.reduce((sum: number, count) => sum + count, 0) === frames;
  const pieces: Piece[] = [];
  if (parts.length > 1 && known) {
    let before = 0;
    let placed = 0n;
    for (const [place, part] of parts.entries()) {
      const count = counts[place] ?? 0;
      // Ends are rounded, not lengths: so the parts together are as long as the recording.
      const end = lengthOf(before + count, rate, speed, timeline);
      const name = `${shown(clip.name)} (${place + 1} of ${parts.length})`;
      const own = { before, frames: count, mediaStart: start + before, length: end - placed };
      pieces.push({ ...base, ...own, name, file: part.path });
      before += count;
      placed = end;
    }
  } else {
    const file = parts.length > 1 ? {} : { file: parts[0]?.path ?? clip.name };
    // Of a file that was cut short only what is there can be played.
    const usable = positive(clip.facts["usableSeconds"]?.value);
    const whole = usable === undefined ? frames : Math.min(frames, Number(floor(multiply(usable, rate))));
    const length = lengthOf(whole, rate, speed, timeline);
    pieces.push({ ...base, ...file, name: shown(clip.name), before: 0, frames: whole, mediaStart: start, length });
  }
  const long = pieces.filter((piece) => piece.length > 0n);
  return long.length === 0 ? "shorter than a frame of the timeline" : long;
}

/** Whole timeline frames that `frames` frames of media fill; what is left of a frame is not shown. */
const lengthOf = (frames: number, rate: Ratio, speed: Ratio, timeline: Ratio): bigint =>
  floor(divide(multiply(ratio(frames), timeline), multiply(rate, speed)));

const positive = (value: unknown): Ratio | undefined => {
  const found = typeof value === "string" ? parseRatio(value) : undefined;
  return found !== undefined && found.numerator > 0n ? found : undefined;
};
const isCount = (value: unknown): value is number =>
  typeof value === "number" && Number.isSafeInteger(value) && value > 0;

/**
 * The first frame's number by the media's own timecode, which is where OpenTimelineIO lets the media begin
 * (time-scopes.md, "Media Space"); 0 without a timecode or when its labels do not fit the clip's rate.
 */
function mediaStart(clip: ClipReport, rate: Ratio): number {
  const fact = clip.facts["timecode"];
  if (fact?.state !== "read" || typeof fact.value !== "string" || fact.labelsPerSecond === undefined) return 0;
  const nominal = round(rate);
  const perLabel = divide(ratio(nominal), ratio(fact.labelsPerSecond));
  const frame = timecodeFrame(fact.value, fact.labelsPerSecond);
  return frame === undefined || !isWhole(perLabel) ? 0 : frame * Number(perLabel.numerator);
}

const item = (schema: string, name: string): Plain => ({
  OTIO_SCHEMA: schema,
  effects: [],
  enabled: true,
  markers: [],
  metadata: {},
  name,
  source_range: null,
});

const track = (kind: "Video" | "Audio", name: string, children: Iterable<Plain>): Plain => ({
  ...item("Track.1", name),
  children,
  kind,
});

const gap = (length: bigint, timeline: Ratio): Plain => ({
  ...item("Gap.1", ""),
  source_range: range(time(0, timeline), time(length, timeline)),
});

/** Sound of clips at full speed; slowed sound is of no use and stays out. */
const hasSound = ({ clip, speed }: Piece): boolean =>
  clip.facts["sound"]?.state === "read" && compare(speed, one) === 0;

function videoClip(piece: Piece, timeline: Ratio): Plain {
  const { clip, speed } = piece;
  const warp =
    compare(speed, one) === 0
      ? []
      : [
          {
            OTIO_SCHEMA: "LinearTimeWarp.1",
            effect_name: "LinearTimeWarp",
            metadata: { goodgate: { speed: ratioText(speed) } },
            name: "",
            time_scalar: toNumber(speed),
          },
        ];
  return {
    ...placed(piece, timeline),
    effects: warp,
    markers: clip.findings.flatMap((finding) => markers(finding, piece)),
    metadata: {
      goodgate: {
        verdict: clip.verdict,
        use: clip.plan.use,
        speed: clip.plan.speed,
        cadence: shown(clip.plan.cadence),
        frameRate: ratioText(piece.rate),
        findings: clip.findings.map((finding) => ({
          rule: finding.rule,
          grade: finding.grade,
          says: visible(finding.says.slice(0, longestComment)),
        })),
        ...(piece.file === undefined ? { files: clip.files.map(shown), remark: joinFirst } : {}),
      },
    },
  };
}

const joinFirst = "The camera split this recording; the lengths of its files are not known: join them, then relink.";

const soundClip = (piece: Piece, timeline: Ratio): Plain => placed(piece, timeline);

function placed(piece: Piece, timeline: Ratio): Plain {
  const { file, frames, rate, mediaStart: start } = piece;
  const available = range(time(start, rate), time(frames, rate));
  const reference = {
    available_image_bounds: null,
    available_range: available,
    metadata: {},
    name: file === undefined ? piece.name : shown(file),
  };
  return {
    ...item("Clip.2", piece.name),
    active_media_reference_key: "DEFAULT_MEDIA",
    media_references: {
      DEFAULT_MEDIA:
        file === undefined
          ? { OTIO_SCHEMA: "MissingReference.1", ...reference }
          : { OTIO_SCHEMA: "ExternalReference.1", ...reference, target_url: relativeUrl(file) },
    },
    source_range: range(time(start, rate), time(piece.length, timeline)),
  };
}

/** A path inside the card as a relative URL: every segment percent-encoded, so that none reads as a scheme. */
const relativeUrl = (path: string): string =>
  path
    .split("/")
    .filter((segment) => segment !== "" && segment !== "." && segment !== "..")
    // Half of a surrogate pair has no URL; the file cannot be named in one.
    .map((segment) => encodeURIComponent(segment.replace(/\p{Cs}/gu, "\uFFFD")))
    .join("/");

const colours = { reshoot: "RED", workable: "YELLOW", note: "CYAN" } as const;
const longestComment = 400;

/** A marker of one frame at each time of a finding that lies in the piece, in the media's own time. */
function markers(finding: FindingReport, piece: Piece): readonly Plain[] {
  const { rate, before, frames, mediaStart: start } = piece;
  return (finding.atSeconds ?? []).flatMap((at) => {
    const frame = Math.round(at * toNumber(rate)) - before;
    if (!(frame >= 0 && frame < frames)) return [];
    return [
      {
        OTIO_SCHEMA: "Marker.2",
        color: colours[finding.grade],
        comment: visible(sentences(finding.says, finding.inEdit ?? finding.remedy).slice(0, longestComment)),
        marked_range: range(time(start + frame, rate), time(1, rate)),
        metadata: { goodgate: { rule: finding.rule, grade: finding.grade } },
        name: shown(finding.rule),
      },
    ];
  });
}
