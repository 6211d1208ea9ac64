import type { Facts, Origin, Rate, Reading, Seconds, Series } from "@goodgate/model";
import {
  absent,
  constantSeries,
  damaged,
  divide,
  framesDuration,
  multiply,
  percentLabel,
  rate,
  ratioText,
  read,
  seconds,
  seriesBuilder,
  speed,
  toNumber,
  type Ratio,
} from "@goodgate/model";
import { factReport, reportFacts } from "./facts.ts";
import { sampleFindings, sampleUnknown } from "./sample-findings.ts";
import type { ClipReport, FactReport, StillReport } from "./schema.ts";

/*
 * Invented reports that every page is tested with. Nothing here was recorded: names, times and values are made up, the
 * arithmetic between them holds (angles, speeds, lengths are computed, not typed).
 */

const timeline = rate(25);

interface SampleClip {
  readonly name: string;
  readonly more?: readonly ClipReport["parts"][number][];
  readonly captured: Rate;
  readonly frames: number;
  readonly shutter?: Series<Seconds> | Seconds;
  readonly iso?: Series<number> | number;
  readonly startedAt: string;
  readonly speed: Ratio;
  readonly use: "real time" | "slow" | "none";
  readonly cadence: string;
  readonly verdict: ClipReport["verdict"];
  readonly findings?: ClipReport["findings"];
  readonly unknown?: ClipReport["unknown"];
  readonly suppressed?: readonly string[];
  readonly joints?: ClipReport["joints"];
  readonly facts?: Facts;
}

/** An origin in few words. */
export const origin = (file: string, kind: Origin["kind"], place: string): Origin => ({ file, kind, place });

/** A series of equally long steps. */
export function changing<T>(values: readonly T[], totalSeconds: number, key: (value: T) => string | number): Series<T> {
  const builder = seriesBuilder<T>(key);
  const step = Math.round((totalSeconds * 1e6) / values.length);
  values.forEach((value, place) => builder.add(value, place * step, (place + 1) * step));
  return builder.finish(step * values.length) ?? constantSeries(values[0] as T, step);
}

function seriesReading<T>(
  given: Series<T> | T | undefined,
  file: string,
  microseconds: number,
  isSeries: (value: Series<T> | T) => value is Series<T>,
): Reading<Series<T>> {
  if (given === undefined) return absent("no record of settings in the file or beside it");
  const place = origin(file.replace(/\.[^.]*$/, ".SRT"), "per-frame record", "cues");
  return read(isSeries(given) ? given : constantSeries(given, microseconds), place);
}

const holdsRuns = (value: unknown): value is Series<never> =>
  typeof value === "object" && value !== null && "runValues" in value;

function sampleFacts(of: SampleClip): Facts {
  const duration = framesDuration(of.frames, of.captured);
  const microseconds = Math.round(toNumber(duration) * 1e6);
  const at = (place: string): Origin => origin(of.name, "container", place);
  return {
    container: read("iso-bmff", at("ftyp")),
    structure: read("whole", at("moov")),
    codec: read("hevc", at("moov/trak/mdia/minf/stbl/stsd")),
    bitDepth: read(10, at("moov/trak/mdia/minf/stbl/stsd")),
    frameRate: read(of.captured, at("moov/trak/mdia/minf/stbl/stts")),
    captureRate: absent("no source says at which rate the scene was captured"),
    timing: read(
      {
        kind: "constant",
        timescale: Number(of.captured.numerator),
        medianTicks: Number(of.captured.denominator),
        leastTicks: Number(of.captured.denominator),
        mostTicks: Number(of.captured.denominator),
        histogram: [{ ticks: Number(of.captured.denominator), count: of.frames - 1 }],
        slips: [],
        lostFrames: 0,
        offShare: 0,
      },
      at("moov/trak/mdia/minf/stbl/stts"),
    ),
    frames: read(of.frames, at("moov/trak/mdia/minf/stbl/stsz")),
    durationSeconds: read(duration, at("moov/trak/edts/elst")),
    width: read(3840, at("moov/trak/tkhd")),
    height: read(2160, at("moov/trak/tkhd")),
    rotationDegrees: read(0, at("moov/trak/tkhd")),
    primaries: read("bt709", at("moov/trak/mdia/minf/stbl/stsd/hvc1/colr")),
    transfer: read("bt709", at("moov/trak/mdia/minf/stbl/stsd/hvc1/colr")),
    matrix: read("bt709", at("moov/trak/mdia/minf/stbl/stsd/hvc1/colr")),
    timecode: absent("no timecode track"),
    createdAt: read({ text: of.startedAt, zone: "utc", epochMilliseconds: Date.parse(of.startedAt) }, at("moov/mvhd")),
    sound: absent("no sound track"),
    shutterSeconds: seriesReading<Seconds>(of.shutter, of.name, microseconds, holdsRuns),
    iso: seriesReading<number>(of.iso, of.name, microseconds, holdsRuns),
    ...(of.shutter === undefined ? {} : { fNumber: seriesReading<number>(2.8, of.name, microseconds, holdsRuns) }),
    ...of.facts,
  };
}

function sampleClip(of: SampleClip): ClipReport {
  const facts = reportFacts(sampleFacts(of), { positions: true });
  const running = ratioText(divide(framesDuration(of.frames, of.captured), of.speed));
  const typical = facts["shutterSeconds"]?.decimal;
  const step = toNumber(divide(multiply(of.speed, of.captured), timeline));
  const angle = typical === undefined ? undefined : (360 * typical * toNumber(of.captured)) / Math.max(1, step);
  const originals = (of.more ?? []).filter((file) => file.role === "original" || file.role === "part");
  const telemetry = { path: of.name.replace(/\.[^.]*$/, ".SRT"), role: "telemetry" as const, bytes: 48_211 };
  const parts: ClipReport["parts"] = [
    { path: of.name, role: "original", bytes: of.frames * 480_000, modified: of.startedAt },
    ...(of.more ?? []),
    ...(of.shutter === undefined ? [] : [telemetry]),
  ];
  return {
    name: of.name,
    files: [
      of.name,
      ...originals.map((file) => file.path),
      ...parts.slice(1 + originals.length).map((file) => file.path),
    ],
    parts,
    verdict: of.verdict,
    plan: {
      use: of.use,
      speed: ratioText(of.speed),
      percent: `${percentLabel(of.speed)} %`,
      cadence: of.cadence,
      ...(of.use === "none" ? {} : { timelineSeconds: running }),
    },
    uses:
      of.use === "none"
        ? []
        : [
            {
              use: of.use,
              sceneSpeed: ratioText(of.speed),
              speed: ratioText(of.speed),
              cadence: of.cadence,
              clean: of.verdict === "clean",
              ...(angle === undefined ? {} : { angleDegrees: Math.round(angle) }),
              verdict: of.verdict,
              timelineSeconds: running,
            },
          ],
    facts,
    findings: [...(of.findings ?? [])],
    unknown: [...(of.unknown ?? [])],
    passed: ["frame-timing", "whole-file"],
    ...(of.suppressed === undefined ? {} : { suppressed: [...of.suppressed] }),
    ...(of.joints === undefined ? {} : { joints: of.joints }),
    readers: ["goodgate"],
    bytesRead: 61_440,
  };
}

const fifty = speed(1, 2);
const asShot = speed(1);
const isoWalk = [100, 100, 110, 130, 160, 200, 200, 180, 140, 100, 100, 100];

/** The clips of the golden report: all four verdicts, one spanned recording with a proxy, one without records. */
export function sampleClips(): readonly ClipReport[] {
  const timecode = {
    start: "10:12:30:00",
    dropFrame: false,
    labelsPerSecond: 25,
    startFrame: (10 * 3600 + 12 * 60 + 30) * 25,
  };
  const slips = {
    kind: "slips" as const,
    timescale: 25_000,
    medianTicks: 1000,
    leastTicks: 1000,
    mostTicks: 3000,
    histogram: [
      { ticks: 1000, count: 2996 },
      { ticks: 3000, count: 2 },
    ],
    slips: [
      { frame: 310, seconds: 12.4, ticks: 3000, lost: 2 },
      { frame: 1500, seconds: 60.08, ticks: 3000, lost: 2 },
    ],
    lostFrames: 4,
    offShare: 2 / 2998,
  };
  const oneForOne = "one frame for one frame";
  return [
    sampleClip({
      name: "DCIM/100MEDIA/CLIP0001.MP4",
      captured: rate(25),
      frames: 312,
      shutter: seconds(1, 50),
      iso: 100,
      startedAt: "2031-05-04T10:12:30Z",
      speed: asShot,
      use: "real time",
      cadence: oneForOne,
      verdict: "clean",
      facts: {
        timecode: read(timecode, origin("DCIM/100MEDIA/CLIP0001.MP4", "container", "moov/trak tmcd")),
        location: read(
          { latitudeDegrees: 12.34567, longitudeDegrees: 98.76543, altitudeMetres: 31 },
          origin("DCIM/100MEDIA/CLIP0001.SRT", "per-frame record", "cue 1"),
        ),
      },
    }),
    sampleClip({
      name: "DCIM/100MEDIA/CLIP0002.MP4",
      captured: rate(50),
      frames: 1500,
      shutter: seconds(1, 100),
      iso: changing(isoWalk, 30, (value) => value),
      startedAt: "2031-05-04T10:15:02Z",
      speed: fifty,
      use: "slow",
      cadence: "one frame for one frame at 50 %",
      verdict: "clean",
    }),
    sampleClip({
      name: "DCIM/100MEDIA/CLIP0003.MP4",
      captured: rate(30_000, 1001),
      frames: 599,
      shutter: seconds(1, 60),
      iso: 100,
      startedAt: "2031-05-04T10:18:40Z",
      speed: speed(1001, 1200),
      use: "slow",
      cadence: "one frame for one frame at 83.42 %",
      verdict: "workable",
      findings: [sampleFindings.cadence],
    }),
    sampleClip({
      name: "DCIM/100MEDIA/CLIP0004.MP4",
      captured: rate(25),
      frames: 500,
      shutter: changing([seconds(1, 1000), seconds(1, 1250), seconds(1, 1000)], 20, ratioText),
      iso: 1600,
      startedAt: "2031-05-04T10:24:11Z",
      speed: asShot,
      use: "real time",
      cadence: oneForOne,
      verdict: "reshoot",
      findings: [sampleFindings.shutter(seconds(1, 1000)), sampleFindings.iso(1600)],
      suppressed: ["light-consistency"],
    }),
    sampleClip({
      name: "DCIM/100MEDIA/CLIP0005.MP4",
      captured: rate(25),
      frames: 760,
      shutter: seconds(1, 800),
      iso: 100,
      startedAt: "2031-05-04T10:31:55Z",
      speed: asShot,
      use: "real time",
      cadence: oneForOne,
      verdict: "reshoot",
      findings: [sampleFindings.shutter(seconds(1, 800))],
    }),
    sampleClip({
      name: "DCIM/100MEDIA/CLIP0006.MP4",
      captured: rate(25),
      frames: 420,
      startedAt: "2031-05-04T10:36:20Z",
      speed: asShot,
      use: "real time",
      cadence: oneForOne,
      verdict: "unknown",
      unknown: [...sampleUnknown],
      facts: {
        transfer: damaged(
          "transfer code 77 is not in ITU-T H.273",
          origin("DCIM/100MEDIA/CLIP0006.MP4", "container", "colr"),
        ),
      },
    }),
    sampleClip({
      name: "DCIM/100MEDIA/CLIP0007.MP4",
      more: [
        { path: "DCIM/100MEDIA/CLIP0008.MP4", role: "part", bytes: 1_610_000_000, modified: "2031-05-04T10:44:00Z" },
        { path: "DCIM/100MEDIA/CLIP0007.LRV", role: "proxy", bytes: 21_000_000 },
      ],
      captured: rate(25),
      frames: 3000,
      shutter: seconds(1, 50),
      iso: 200,
      startedAt: "2031-05-04T10:40:00Z",
      speed: asShot,
      use: "real time",
      cadence: oneForOne,
      verdict: "workable",
      findings: [sampleFindings.missing, sampleFindings.spanNote],
      joints: [{ afterPart: 0, gapFrames: 0, evidence: ["names", "full size", "timecode"] }],
      facts: {
        timing: read(slips, origin("DCIM/100MEDIA/CLIP0007.MP4", "container", "moov/trak/mdia/minf/stbl/stts")),
      },
    }),
  ];
}

const stillFacts = (file: string, time: Seconds): Record<string, FactReport> => {
  const place = origin(file, "still", "Exif IFD");
  return {
    shutterSeconds: factReport("shutterSeconds", read(time, place)),
    iso: factReport("iso", read(100, place)),
    fNumber: factReport("fNumber", read(2.8, place)),
    width: factReport("width", read(8064, place)),
    height: factReport("height", read(6048, place)),
  };
};

/** A bracket of three stills. */
export function sampleStills(): readonly StillReport[] {
  return [seconds(1, 100), seconds(1, 400), seconds(1, 25)].map((time, place) => {
    const name = `DCIM/100MEDIA/STILL00${String(20 + place)}.JPG`;
    return { name, files: [name], set: "bracket 1", facts: stillFacts(name, time), findings: [] };
  });
}
