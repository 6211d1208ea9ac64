// AssemblyScript, compiled by scripts/write-kernel.ts into src/telemetry/cue-kernel-code.ts: the loops that run over every
// byte of text telemetry. As WebAssembly they are fast from the first cue on; as JavaScript a clip was over before the
// engine had compiled them.

import { cueTime, digitsAt, i32At, isDigit, numberAt, numberEnd, same } from "./bytes";
import { knownValue, remember } from "./known-values";
import { mostBlock, starts, texts } from "./starts";

export { countSteps, findHoles, starts, stepCounts, steps, stepsFound, texts } from "./starts";

/** Most slots of one frame. */
const mostSlots = 96;

/** What a slot holds; the same numbers as in src/telemetry/cue-kernel.ts. */
const nothing: u32 = 0;
const isNumber: u32 = 1;
const isValue: u32 = 2;
const isClock: u32 = 3;
const isStart: u32 = 4;

/** Where a value goes: the first three are of the position, the others become series. */
const firstSeries: u32 = 3;
const seriesFields: u32 = 16;

// The frame that cues are laid over: bytes before each slot and behind the last; then of each slot its bytes in the frame
// before, what it holds, the grammar of its number, its bounds, most digits before and behind the mark, whether it is
// south or west, where it goes.
export const gaps: usize = memory.data(4 * (mostSlots + 1), 8);
export const lengths: usize = memory.data(4 * mostSlots, 8);
export const kinds: usize = memory.data(mostSlots, 8);
export const grammars: usize = memory.data(mostSlots, 8);
export const ranges: usize = memory.data(16 * mostSlots, 8);
export const digits: usize = memory.data(2 * mostSlots, 8);
export const negatives: usize = memory.data(mostSlots, 8);
export const fields: usize = memory.data(mostSlots, 8);
export let slots: i32 = 0;
/** Where the frame before begins and ends. */
export let frameFrom: usize = 0;
export let frameTo: usize = 0;
/** 0: the text states which number is which; 1: longitude first; 2: latitude first because the other is too large. */
export let axes: i32 = 0;

/** Of each slot that holds a value: which of the ways to read one it has. */
export const readers: usize = memory.data(4 * mostSlots, 8);

// The clock: bytes to its seconds, their digits, up to two groups of digits behind them (place, count, microseconds of the
// last), furthest end from the start of the cue, and the minute in which it was last.
export const groups: usize = memory.data(24, 8);
export let secondsAt: i32 = 0;
export let secondsDigits: i32 = 0;
export let groupCount: i32 = 0;
export let mostClockEnd: i32 = 0;
export let minute: f64 = 0;

// The cue at hand: slots that differ, where they lie, and what they state.
export const changed: usize = memory.data(4 * mostSlots, 8);
export const froms: usize = memory.data(4 * mostSlots, 8);
export const tos: usize = memory.data(4 * mostSlots, 8);
const befores: usize = memory.data(4 * mostSlots, 8);
export const numbers: usize = memory.data(8 * mostSlots, 8);
const movedSlots: usize = memory.data(4 * mostSlots, 8);
const movedLengths: usize = memory.data(4 * mostSlots, 8);
export let changes: i32 = 0;
let moves: i32 = 0;
/** Where it begins, and where the one behind it does. */
export let cueFrom: usize = 0;
let cueTo: usize = 0;
/** Its start and end in microseconds. */
export let start: f64 = 0;
export let end: f64 = 0;
/** Set when a cue begins before the one before it. */
export let falls: i32 = 0;
/** Its number among all, and what is to be added to a place in memory for one in the text. */
export let place: i32 = 0;
export let textAt: i32 = 0;
/** Whether the clock's minute must be told before it can be taken. */
export let asksMinute: i32 = 0;
/** Whether a value must be told, whose number is none. */
let asksValue: i32 = 0;

// The position by now, and of how many cues it was stated, was a fix, and was told by the order of its numbers.
export let latitude: f64 = 0;
export let longitude: f64 = 0;
export let altitude: f64 = 0;
export let isFix: i32 = 0;
export let byOrder: i32 = 0;
export let fixes: i32 = 0;
export let fixesByOrder: i32 = 0;
/** The last fix, as a kept one. */
export const lastFix: usize = memory.data(32, 8);
/** Of the fixes every one whose number divides by this is handed over. */
export let stride: i32 = 1;

// What is handed over: cues; kept fixes; moments and clocks; places, starts within the clip and values of the series.
export let cues: i32 = 0;
/** End of the last of them. */
export let lastEnd: f64 = 0;
export let kept: i32 = 0;
/** Of each fix: latitude, longitude, altitude, and the start of its cue within the clip. */
export const keptFixes: usize = memory.data(32 * mostBlock, 8);
/** End of the clip in microseconds. */
export let clipEnd: f64 = 0;
export let clocks: i32 = 0;
export const moments: usize = memory.data(16 * mostBlock, 8);
export let lastClock: f64 = 0;
export const seriesCounts: usize = memory.data(4 * seriesFields, 8);
export const seriesPlaces: usize = memory.data(4 * seriesFields * mostBlock, 8);
export const seriesStarts: usize = memory.data(8 * seriesFields * mostBlock, 8);
export const seriesValues: usize = memory.data(8 * seriesFields * mostBlock, 8);

/** Room for the text. */
export const windowBytes: i32 = 1 << 16;
export const window: usize = memory.data(1 << 16, 8);

/**
 * Lays the text from `from` on over the frame before and notes the slots that differ; 0 when anything else does, else
 * where the frame ends. Nothing is taken over.
 */
export function match(from: usize, limit: usize): usize {
  let slot: i32 = 0;
  let before = frameFrom;
  let slotFrom = before + i32At(gaps, 0);
  let at = from;
  changes = 0;
  moves = 0;
  while (true) {
    const shared = same(before, at, min(frameTo - before, limit - at));
    before += shared;
    at += shared;
    // A number may go on behind the end of the frame before.
    if (before == frameTo && (at == limit || slot == slots)) break;
    // The slot that holds the difference, or that ends right before it.
    while (slot < slots && slotFrom + i32At(lengths, slot) < before) {
      slotFrom += i32At(lengths, slot) + i32At(gaps, slot + 1);
      slot += 1;
    }
    if (slot == slots || slotFrom > before) {
      if (before == frameTo) break;
      return 0;
    }
    const length = i32At(lengths, slot);
    const kind = <u32>load<u8>(kinds + slot);
    const newFrom = at - (before - slotFrom);
    const newTo =
      kind >= isClock
        ? sameDigits(slotFrom, newFrom, length, limit)
        : numberEnd(newFrom, limit, load<u8>(grammars + slot));
    if (newTo < at) return 0;
    if (kind != nothing) {
      const entry = (<usize>changes) << 2;
      store<i32>(changed + entry, slot);
      store<u32>(froms + entry, <u32>newFrom);
      store<u32>(tos + entry, <u32>newTo);
      store<u32>(befores + entry, <u32>slotFrom);
      changes += 1;
    }
    if (<i32>(newTo - newFrom) != length) {
      store<i32>(movedSlots + ((<usize>moves) << 2), slot);
      store<i32>(movedLengths + ((<usize>moves) << 2), <i32>(newTo - newFrom));
      moves += 1;
    }
    before = slotFrom + length;
    at = newTo;
    slot += 1;
    slotFrom = before + i32At(gaps, slot);
  }
  cueFrom = from;
  cueTo = at;
  return at;
}

/** End of a stretch with digits where the one before has digits and everything else alike; 0 for another. */
function sameDigits(before: usize, from: usize, length: i32, limit: usize): usize {
  if (from + length > limit) return 0;
  for (let at: i32 = 0; at < length; at += 1) {
    const old = <u32>load<u8>(before + at);
    const code = <u32>load<u8>(from + at);
    if (code != old && !(isDigit(code) && isDigit(old))) return 0;
  }
  return from + length;
}

/** Microseconds of a clock past its minute, or -1 when it has more than sixty seconds. */
export function pastMinute(from: usize): f64 {
  const seconds = digitsAt(from + secondsAt, secondsDigits);
  if (seconds > 60) return -1;
  let past = <f64>seconds * 1e6;
  for (let group: i32 = 0; group < groupCount; group += 1) {
    const entry = group * 3;
    past += <f64>(digitsAt(from + i32At(groups, entry), i32At(groups, entry + 1)) * i32At(groups, entry + 2));
  }
  return past;
}

/** Reads what the slots state that differ; false when one holds what it may not. */
function readChanges(): bool {
  asksMinute = 0;
  asksValue = 0;
  for (let change: i32 = 0; change < changes; change += 1) {
    const slot = i32At(changed, change);
    const kind = <u32>load<u8>(kinds + slot);
    const from = <usize>i32At(froms, change);
    const to = <usize>i32At(tos, change);
    let value: f64 = 0;
    if (kind == isNumber) {
      value = numberAt(from, to, load<u8>(digits + 2 * slot), load<u8>(digits + 2 * slot + 1));
      // Without the sum a number south or west could be a negative zero.
      if (load<u8>(negatives + slot) != 0) value = 0 - abs(value);
      const range = ranges + ((<usize>slot) << 4);
      if (!(value >= load<f64>(range) && value <= load<f64>(range + 8))) return false;
      // Of two bare numbers the other one comes first only as long as it is too large for a latitude.
      if (axes == 2 && load<u8>(fields + slot) == 1 && abs(value) <= 90) return false;
    } else if (kind == isValue) {
      value = knownValue(<u32>i32At(readers, slot), from, to);
      if (isNaN(value)) asksValue = 1;
    } else if (kind == isClock) {
      if (mostClockEnd == 0 || <i32>(to - cueFrom) > mostClockEnd) return false;
      const past = pastMinute(from);
      if (past < 0) return false;
      if (same(from, <usize>i32At(befores, change), secondsAt) < <usize>secondsAt) asksMinute = 1;
      value = past;
    } else if (kind >= isStart) {
      value = cueTime(from, to);
      if (value < 0) return false;
    }
    store<f64>(numbers + ((<usize>change) << 3), value);
  }
  return true;
}

/** Tells what one slot of the cue at hand states, also for later cues. */
export function tell(change: i32, value: f64): void {
  store<f64>(numbers + ((<usize>change) << 3), value);
  const reader = <u32>i32At(readers, i32At(changed, change));
  remember(reader, <usize>i32At(froms, change), <usize>i32At(tos, change), value);
}

/** Whether a slot differs that only its dialect can read. */
function asks(): bool {
  return asksMinute != 0 || asksValue != 0;
}

/** Takes the cue that `match` has found and whose slots have been read, and makes it the frame before. */
export function take(): void {
  let nextStart = start;
  let nextEnd = end;
  for (let change: i32 = 0; change < changes; change += 1) {
    const slot = i32At(changed, change);
    const kind = <u32>load<u8>(kinds + slot);
    const value = load<f64>(numbers + ((<usize>change) << 3));
    if (kind == isNumber || (kind == isValue && !isNaN(value))) takeNumber(load<u8>(fields + slot), value);
    else if (kind == isClock) takeClock(minute + value);
    else if (kind == isStart) nextStart = value;
    else if (kind > isStart) nextEnd = value;
  }
  if (isFix != 0) takeFix();
  store<f64>(starts + ((<usize>cues) << 3), start);
  lastEnd = end;
  store<u32>(texts + ((<usize>cues) << 2), <u32>cueFrom + textAt);
  cues += 1;
  place += 1;
  if (nextStart < start) falls = 1;
  start = nextStart;
  end = nextEnd;
  frameFrom = cueFrom;
  frameTo = cueTo;
  cueFrom = cueTo;
  for (let move: i32 = 0; move < moves; move += 1) {
    store<i32>(lengths + ((<usize>i32At(movedSlots, move)) << 2), i32At(movedLengths, move));
  }
}

function takeNumber(field: u32, value: f64): void {
  if (field >= firstSeries) {
    const one = field - firstSeries;
    const count = load<i32>(seriesCounts + (one << 2));
    const entry = <usize>(one * mostBlock + count);
    store<i32>(seriesPlaces + (entry << 2), place);
    store<f64>(seriesStarts + (entry << 3), max<f64>(0, min<f64>(start, clipEnd)));
    store<f64>(seriesValues + (entry << 3), value);
    store<i32>(seriesCounts + (one << 2), count + 1);
    return;
  }
  if (field == 0) latitude = value;
  else if (field == 1) longitude = value;
  else altitude = value;
  if (axes == 1) byOrder = abs(longitude) <= 90 && (longitude != 0 || latitude != 0) ? 1 : 0;
}

function takeClock(microseconds: f64): void {
  if (microseconds == lastClock) return;
  lastClock = microseconds;
  const entry = moments + ((<usize>clocks) << 4);
  store<f64>(entry, start);
  store<f64>(entry + 8, microseconds);
  clocks += 1;
}

function takeFix(): void {
  // A pair of zeros is no fix.
  if (latitude == 0 && longitude == 0) return;
  fixesByOrder += byOrder;
  writeFix(lastFix);
  if (fixes % stride == 0) {
    writeFix(keptFixes + ((<usize>kept) << 5));
    kept += 1;
  }
  fixes += 1;
}

function writeFix(to: usize): void {
  store<f64>(to, latitude);
  store<f64>(to + 8, longitude);
  store<f64>(to + 16, altitude);
  store<f64>(to + 24, max<f64>(0, min<f64>(start, clipEnd)));
}

/**
 * Reads cues that follow one another from `cueFrom` on, none of which may reach past `limit`, until one begins within
 * `spare` bytes of what it needs, or `most` have been read. 0: the cue at `cueFrom` does not fit; 1: it may lie outside;
 * 2: as many as asked for were read; 3: it fits when what is asked of it holds, and must be taken by `take`.
 */
export function walk(limit: usize, spare: i32, most: i32): i32 {
  let from = cueFrom;
  while (cues < most && falls == 0) {
    if (from + (frameTo - frameFrom) + spare > limit) {
      cueFrom = from;
      return 1;
    }
    const to = match(from, limit);
    if (to == 0 || !readChanges()) {
      cueFrom = from;
      return 0;
    }
    if (asks()) return 3;
    take();
    from = to;
  }
  cueFrom = from;
  return 2;
}

/** Reads the one cue that lies between two places; 0: it does not fit; 2: it was taken; 3: as `walk` has it. */
export function one(from: usize, to: usize): i32 {
  if (match(from, to) != to || !readChanges()) return 0;
  if (asks()) return 3;
  take();
  return 2;
}
