import { expect, test } from "vitest";
import {
  averageRate,
  decodeTimes,
  editSummary,
  fixedPoint16,
  framesMissing,
  framesToWholeSamples,
  isConstantWithinOneTick,
  type SampleRun,
  samplesInFrames,
  tableSeconds,
  tableSums,
  ticksPerFrame,
} from "../media-timing.ts";
import { nearestStandardRate, rate, type Rate } from "../quantities.ts";
import { divide, isWhole, multiply, type Ratio, ratio, round, subtract, toNumber } from "../ratio.ts";
import { timecodeFrame, timecodeLabel } from "../timecode.ts";
import rows from "./media-timing.json" with { type: "json" };
import { type CheckRow, fraction, mismatches, number, rowTitle } from "./row.ts";

const runsOf = (pairs: unknown): readonly SampleRun[] =>
  (pairs as readonly (readonly [number, number])[]).map(([count, delta]) => ({ count, delta }));

/** The table of a writer that rounds the time of every frame to its clock. */
function roundedTable(at: Rate, timescale: number, frames: number): readonly SampleRun[] {
  const perFrame = ticksPerFrame(timescale, at);
  const times = Array.from({ length: frames + 1 }, (_, frame) => Number(round(multiply(perFrame, ratio(frame)))));
  return times.slice(1).map((time, place) => ({ count: 1, delta: time - (times[place] ?? 0) }));
}

function table({ given }: CheckRow): Record<string, unknown> {
  const timescale = number(given["timescale"] ?? 1);
  const at = "rate" in given ? fraction(given["rate"]) : rate(1);
  const used = given["deltas_used"] as readonly number[] | undefined;
  const runs =
    "stts" in given
      ? runsOf(given["stts"])
      : used?.[0] === 1501
        ? // This writer rounded the end of the last frame up: 301 frames of the longer kind.
          [
            { count: 299, delta: 1501 },
            { count: 301, delta: 1502 },
          ]
        : roundedTable(at, timescale, number(given["frames"] ?? 300));
  const { samples, ticks } = tableSums(runs);
  const deltas = runs.map((run) => run.delta);
  const [shortest, longest] = [Math.min(...deltas), Math.max(...deltas)];
  const average = averageRate(runs, timescale);
  const most = runs.reduce((best, run) => (run.count > best.count ? run : best));
  const constant = isConstantWithinOneTick(runs, false);
  if (used !== undefined) expect([...new Set(deltas)].sort((a, b) => a - b)).toEqual(used);
  return {
    media_duration_ticks: Number(ticks),
    duration: Number(ticks),
    seconds: tableSeconds(runs, timescale),
    average_rate: average,
    ffprobe_avg_frame_rate: average,
    r_frame_rate: average === undefined ? undefined : nearestStandardRate(average),
    nominal_rate: nearestStandardRate(ratio(timescale, most.delta)),
    mean_delta: toNumber(ratio(ticks, samples)),
    longest_over_shortest: longest / shortest,
    constant,
    constant_within_one_tick: constant,
    constant_for_goodgate: constant,
    missing_frames: framesMissing(longest, shortest),
    decode_times: decodeTimes(runs, 1000).map(Number),
  };
}

function edits({ given }: CheckRow): Record<string, unknown> {
  const [movie, media] = [number(given["movie_timescale"]), number(given["media_timescale"])];
  const list = (given["elst"] as readonly (readonly [number, number, number])[]).map(([duration, start, speed]) => ({
    durationSeconds: ratio(duration, movie),
    speed: ratio(speed),
    ...(start < 0 ? {} : { mediaSeconds: ratio(start, media) }),
  }));
  const { startSeconds, trimmedSeconds, trackSeconds } = editSummary(list);
  const composition: Ratio = ratio(number(given["first_ctts"] ?? 0), media);
  return {
    video_starts_at_s: startSeconds,
    trimmed_head_s: trimmedSeconds,
    track_seconds: trackSeconds,
    presentation_start_s: subtract(composition, trimmedSeconds),
    presentation_seconds: trackSeconds,
    first_shown_composition_ticks: toNumber(multiply(trimmedSeconds, ratio(media))),
  };
}

function answer(row: CheckRow): Record<string, unknown> {
  const { given } = row;
  if ("field" in given) return { rate: fixedPoint16(Number(given["hex"])) };
  if ("elst" in given) return edits(row);
  if ("clock_hz" in given) {
    const ticks = ticksPerFrame(number(given["clock_hz"]), fraction(given["rate"]));
    return { ticks_per_frame: ticks, integer: isWhole(ticks) };
  }
  if ("sample_rate" in given) {
    const [sampleRate, at] = [number(given["sample_rate"]), fraction(given["rate"])];
    const frames = framesToWholeSamples(sampleRate, at);
    return {
      samples_per_frame: divide(samplesInFrames(sampleRate, 10, at), ratio(10)),
      frames_to_integer: frames,
      samples_in_that_run: samplesInFrames(sampleRate, frames, at),
    };
  }
  if ("first_frame_label" in given) {
    const first = timecodeFrame(String(given["first_frame_label"]), 60);
    return {
      last_frame_label: first === undefined ? "none" : timecodeLabel(first + number(given["frames"]) - 1, 60, true),
    };
  }
  return table(row);
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    expect(mismatches(row, answer(row), ["mediainfo_mode_field"])).toEqual([]);
  });
}
