import { expect, test } from "vitest";
import {
  cadence,
  conformSpeed,
  pitchCents,
  realTimeCadence,
  runningSeconds,
  shownFrames,
  slipSeconds,
  stepList,
} from "../cadence.ts";
import { rate } from "../quantities.ts";
import { compare, divide, equal, invert, multiply, one, type Ratio, subtract, toNumber } from "../ratio.ts";
import rows from "./conform.json" with { type: "json" };
import { type CheckRow, fraction, mismatches, number, rowTitle } from "./row.ts";

/** Timeline frames for which each source frame of one period stays. */
function holdList(step: Ratio): readonly number[] {
  const holds = new Map<bigint, number>();
  for (const frame of shownFrames(step, Number(step.denominator))) holds.set(frame, (holds.get(frame) ?? 0) + 1);
  return [...holds.values()];
}

/** A list that goes round, begun at its least place, so that two of them can be compared. */
function wound(list: readonly number[]): readonly number[] {
  const turns = list.map((_, place) => [...list.slice(place), ...list.slice(0, place)]);
  return turns.reduce((least, turn) => (turn.join() < least.join() ? turn : least), list);
}

const percent = (value: Ratio): number => toNumber(value) * 100;

function rates({ given }: CheckRow): Record<string, unknown> {
  const step = divide(fraction(given["clip_rate"]), fraction(given["timeline_rate"]));
  const told = realTimeCadence(fraction(given["clip_rate"]), fraction(given["timeline_rate"]));
  const steps = stepList(step);
  return {
    advance_per_timeline_frame: wound(steps),
    period_timeline_frames: Number(told.periodFrames),
    pattern_repeats_per_s: toNumber(invert(told.periodSeconds)),
    distinct_steps: [...new Set(steps)].sort((a, b) => a - b),
    even: new Set(steps).size === 1,
    period_clip_frames: Number(step.numerator),
    mean_advance: steps.reduce((sum, length) => sum + length, 0) / steps.length,
  };
}

function answer(row: CheckRow): Record<string, unknown> {
  const { given } = row;
  if ("play_at" in given) return rates(row);
  if ("clip_frames" in given) {
    const frames = number(given["clip_frames"]);
    return {
      conformed_seconds: runningSeconds(frames, one, fraction(given["timeline_rate"])),
      original_seconds: "clip_rate" in given && runningSeconds(frames, one, fraction(given["clip_rate"])),
    };
  }
  if ("clip_rate" in given) {
    const speed = conformSpeed(fraction(given["clip_rate"]), fraction(given["timeline_rate"]), number(given["k"]));
    return {
      speed,
      speed_percent: percent(speed),
      duration_factor: invert(speed),
      slower_than_real_time: compare(speed, one) < 0,
      real_time: equal(speed, one),
    };
  }
  if ("one" in given) {
    const [faster, slower] = [fraction(given["one"]), fraction(given["other"])];
    const slip = slipSeconds(slower, faster);
    if (slip === undefined) return {};
    return {
      slip_one_frame_after_s: slip,
      frames_of_faster: toNumber(multiply(faster, slip)),
      frames_of_slower: toNumber(multiply(slower, slip)),
      slip_frames_per_hour: 3600 / toNumber(slip),
      seconds_per_hour: 3600 * (1 - toNumber(divide(slower, faster))),
    };
  }
  if ("source_rate" in given) {
    const step = divide(fraction(given["source_rate"]), fraction(given["display_rate"]));
    const counts: Record<string, number> = {};
    for (const hold of holdList(step)) counts[hold] = (counts[hold] ?? 0) + 1;
    return {
      ratio: invert(step),
      repeat_multiset: counts,
      repeats_per_second: toNumber(invert(cadence(step, fraction(given["display_rate"])).periodSeconds)),
    };
  }
  if ("to_fields" in given || "to_frames" in given) {
    const onTo = fraction(given["to_fields"] ?? given["to_frames"]);
    const told = realTimeCadence(fraction(given["from"]), onTo);
    const perFrame = "to_fields" in given ? 1 : 2;
    return {
      fields_per_frame_mean: invert(told.step),
      pattern: holdList(told.step),
      film_frames: Number(told.step.numerator),
      fields: Number(told.periodFrames) * perFrame,
      video_frames: Number(told.periodFrames),
    };
  }
  if ("to_fields_at_50" in given) {
    const speed = conformSpeed(rate(24), rate(25));
    return { speed, pattern: [cadence(multiply(divide(rate(24), rate(50)), speed), rate(50)).count] };
  }
  const speed = conformSpeed(fraction(given["from"]), fraction(given["to"]));
  const minutes = fraction(given["film_minutes"] ?? given["minutes"] ?? 0);
  return {
    minutes: divide(minutes, speed),
    pitch_cents: pitchCents(speed),
    speed_up_percent: percent(subtract(speed, one)),
    slow_down_percent: percent(subtract(one, speed)),
    run_time_cut_percent: percent(subtract(one, invert(speed))),
  };
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    const steps = row.expect["advance_per_timeline_frame"];
    // Where counting starts does not matter: both lists are wound to their least place.
    const wanted = Array.isArray(steps)
      ? { ...row, expect: { ...row.expect, advance_per_timeline_frame: wound(steps as number[]) } }
      : row;
    expect(mismatches(wanted, answer(row), ["formula"])).toEqual([]);
  });
}
