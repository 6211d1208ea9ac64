import {
  add,
  type Clip,
  type ClipFile,
  compare,
  distance,
  equal,
  invert,
  type Joint,
  type Ratio,
  toNumber,
  valueOf,
} from "@goodgate/model";
import type { ClipHead, HeadFacts } from "./clip-head.ts";
import { parseCreationTime } from "../sidecars/creation-time.ts";
import { baseName, byCodeUnits, foldedName, folderOf, stemOf } from "./kinds.ts";
import { mergeFacts } from "./merge-facts.ts";
import { highestNumber, numberedName, stepsBetween } from "./numbering.ts";

/** The largest file of a FAT32 card is 4 GiB less one byte; cameras split a little earlier (practice, no source). */
const leastFullBytes = 3.5 * 1024 ** 3;
const mostFullBytes = 4 * 1024 ** 3;
/** Parts cut at one size differ by less than a group of pictures. */
const sizeShare = 0.01;
/** A clock of whole seconds on both sides, rounded either way. */
const clockSlackSeconds = 2;

interface Link<Head extends ClipHead> {
  readonly before: Head;
  readonly after: Head;
  readonly evidence: readonly string[];
  readonly gapFrames?: number;
}

/**
 * Joins recordings that the camera split into files. Names only propose; a join needs equal picture settings and further
 * evidence: a full-size part, a running clock, timecode or telemetry clock. Clocks that contradict forbid it. The joined
 * clip is named after its first part, and every other clip is handed back as it was, in the same order.
 */
export const joinSpans = (clips: readonly Clip[]): readonly Clip[] =>
  spanChains(clips).map(({ parts, joints }) => joinParts(parts, joints));

/** Files that are one recording, in order, and how they join; one file alone for every other recording. */
export interface SpanChain<Head> {
  readonly parts: readonly Head[];
  readonly joints: readonly Joint[];
}

/** Which files are parts of one recording, in the order of `clips`. */
export function spanChains<Head extends ClipHead>(clips: readonly Head[]): readonly SpanChain<Head>[] {
  const links = confirmedLinks(clips);
  const next = new Map<Head, Link<Head>>();
  const taken = new Set<Head>();
  for (const link of links) {
    if (next.has(link.before) || taken.has(link.after)) continue;
    next.set(link.before, link);
    taken.add(link.after);
  }
  const done = new Set<Head>();
  const chains: SpanChain<Head>[] = [];
  for (const clip of clips) {
    if (taken.has(clip) || done.has(clip)) continue;
    const chain: Link<Head>[] = [];
    for (
      let at: Link<Head> | undefined = next.get(clip);
      at !== undefined && !done.has(at.after);
      at = next.get(at.after)
    ) {
      chain.push(at);
      done.add(at.after);
    }
    const joints = chain.map((link, place): Joint => ({
      afterPart: place,
      evidence: link.evidence,
      ...(link.gapFrames === undefined ? {} : { gapFrames: link.gapFrames }),
    }));
    chains.push({ parts: [clip, ...chain.map((link) => link.after)], joints });
  }
  return chains;
}

/** One clip of the parts of a recording; a part alone is handed back as it is. */
export function joinParts(parts: readonly Clip[], joints: readonly Joint[]): Clip {
  const [first] = parts;
  if (first === undefined) throw new RangeError("a recording without parts");
  if (parts.length === 1) return first;
  const files = parts.flatMap((part, place) =>
    part.files.map((file): ClipFile => {
      if (file.role !== "original") return file;
      const frames = valueOf(part.facts.frames);
      return { ...file, role: place > 0 ? "part" : "original", ...(frames === undefined ? {} : { frames }) };
    }),
  );
  const sum = (of: (clip: Clip) => number): number => parts.reduce((total, part) => total + of(part), 0);
  const disagreements = parts.flatMap((part) => part.disagreements ?? []);
  const proxies = parts.map((part) => part.proxyFacts).filter((facts) => facts !== undefined);
  return {
    name: first.name,
    files,
    joints,
    facts: mergeFacts(parts.map((part) => part.facts)),
    readers: [...new Set(parts.flatMap((part) => part.readers))],
    cost: {
      bytes: sum((part) => part.cost.bytes),
      calls: sum((part) => part.cost.calls),
      milliseconds: sum((part) => part.cost.milliseconds),
      neededBytes: sum((part) => part.cost.neededBytes ?? 0),
    },
    // Half of a proxy would contradict the whole original.
    ...(proxies.length === parts.length ? { proxyFacts: mergeFacts(proxies) } : {}),
    ...(disagreements.length === 0 ? {} : { disagreements }),
  };
}

/** What a name says about its place in a split recording. */
interface PartName {
  /** Equal for all parts of one recording. */
  readonly recording: string;
  readonly part: number;
}

/** Names with a part number: two digits before a four-digit counter, or two or three digits set off behind it. */
export function partName(path: string): PartName | undefined {
  const stem = foldedName(stemOf(baseName(path)));
  const folder = folderOf(path);
  const before = /^(\D{0,8})(\d{2})(\d{4})$/.exec(stem);
  if (before !== null) return { recording: `${folder}/${before[1]}#${before[3]}`, part: Number(before[2]) };
  const after = /^(.*\d{3,})[-_ ](\d{2,3})$/.exec(stem);
  if (after !== null) return { recording: `${folder}/${after[1]}#`, part: Number(after[2]) };
  return undefined;
}

function confirmedLinks<Head extends ClipHead>(clips: readonly Head[]): readonly Link<Head>[] {
  const whole = clips.filter((clip) => clip.notFootage === undefined && clip.joints.length === 0);
  const byRecording = new Map<string, { readonly part: number; readonly clip: Head }[]>();
  const byCounter = new Map<string, { readonly number: number; readonly clip: Head }[]>();
  for (const clip of whole) {
    const part = partName(clip.name);
    if (part !== undefined) push(byRecording, part.recording, { part: part.part, clip });
    const numbered = numberedName(clip.name);
    if (numbered !== undefined)
      push(byCounter, `${numbered.around}/${numbered.digits}`, { number: numbered.number, clip });
  }
  const links: Link<Head>[] = [];
  for (const group of byRecording.values()) {
    const sorted = group.sort((a, b) => a.part - b.part || byCodeUnits(a.clip.name, b.clip.name));
    const most = Math.max(...sorted.map(({ clip }) => bytesOf(clip)));
    pairs(sorted).forEach(([a, b]) => {
      // Across a missing part nothing is joined: the remark says so, and each half stands for itself.
      if (b.part - a.part !== 1) return;
      const found = evidenceOf(a.clip, b.clip);
      if (found === undefined) return;
      const evidence = bytesOf(a.clip) >= most * (1 - sizeShare) ? [...found.evidence, "full size"] : found.evidence;
      if (new Set(evidence).size >= 2)
        links.push(link(a.clip, b.clip, ["names", ...new Set(evidence)], found.gapFrames));
    });
  }
  for (const [key, group] of byCounter) {
    const top = highestNumber(Number(key.slice(key.lastIndexOf("/") + 1)));
    const sorted = group.sort((a, b) => a.number - b.number);
    // Behind the last number the first follows: a recording may lie over the end of the count.
    pairs([...sorted, ...sorted.slice(0, 1)]).forEach(([a, b]) => {
      if (stepsBetween(a.number, b.number, top) !== 1) return;
      const found = evidenceOf(a.clip, b.clip);
      if (found === undefined) return;
      const running = found.evidence.filter((one) => runningClocks.includes(one));
      // Every two recordings of a card have equal settings and following numbers, and a timecode may go on over a
      // pause: two clocks that run through are needed, or one behind a file of the greatest size.
      if (found.sameStart || running.length === 0) return;
      if (isFull(a.clip)) links.push(link(a.clip, b.clip, ["names", ...found.evidence, "full size"], found.gapFrames));
      else if (running.includes("stream clock") || (running.includes("timecode") && running.length >= 2)) {
        links.push(link(a.clip, b.clip, ["names", ...found.evidence], found.gapFrames));
      }
    });
  }
  return links;
}

function link<Head extends ClipHead>(
  before: Head,
  after: Head,
  evidence: readonly string[],
  gapFrames: number | undefined,
): Link<Head> {
  return { before, after, evidence, ...(gapFrames === undefined ? {} : { gapFrames }) };
}

interface Evidence {
  readonly evidence: readonly string[];
  readonly sameStart: boolean;
  readonly gapFrames?: number;
}

/** What speaks for b being the continuation of a; undefined when something speaks against it. */
function evidenceOf(a: ClipHead, b: ClipHead): Evidence | undefined {
  if (!sameSettings(a.facts, b.facts)) return undefined;
  const length = valueOf(a.facts.durationSeconds);
  if (length === undefined) return undefined;
  const evidence: string[] = ["same settings"];
  const lasts = toNumber(length);
  const [start, later] = [valueOf(a.facts.createdAt), valueOf(b.facts.createdAt)];
  let sameStart = false;
  if (start !== undefined && later !== undefined && start.zone === later.zone && start.suspect === later.suspect) {
    const passed = (later.epochMilliseconds - start.epochMilliseconds) / 1000;
    // Some cameras stamp all parts with the first start; no second recording begins while the first still runs.
    if (passed === 0 && lasts > clockSlackSeconds) sameStart = true;
    else if (passed === 0 && lasts > 0) sameStart = true;
    else if (Math.abs(passed - lasts) <= clockSlackSeconds) evidence.push("clock");
    else return undefined;
    if (sameStart && lasts > clockSlackSeconds) evidence.push("same start clock");
  }
  const passed = telemetryGap(a.facts, b.facts, lasts);
  if (passed !== undefined) {
    if (Math.abs(passed) > clockSlackSeconds) return undefined;
    evidence.push("telemetry clock");
  }
  if (streamRunsOn(a.facts, b.facts)) evidence.push("stream clock");
  const gapFrames = timecodeGap(a.facts, b.facts);
  if (gapFrames !== undefined && Math.abs(gapFrames) <= 1) evidence.push("timecode");
  return {
    evidence,
    sameStart,
    ...(gapFrames !== undefined && Math.abs(gapFrames) <= mostGapFrames ? { gapFrames } : {}),
  };
}

/** Seconds by the telemetry's clock between the end of a and the start of b, beyond what its records leave open. */
function telemetryGap(a: HeadFacts, b: HeadFacts, lasts: number): number | undefined {
  const [before, after] = [valueOf(a.telemetry), valueOf(b.telemetry)];
  if (before?.lastClock === undefined || after?.firstClock === undefined) return undefined;
  const unspoken = lasts - before.endSeconds;
  // Records that stop early (a stretch that was read, a sidecar cut short) say nothing of the end.
  if (Math.abs(unspoken) > clockSlackSeconds) return undefined;
  const [ended, began] = [parseCreationTime(before.lastClock), parseCreationTime(after.firstClock)];
  if (ended === undefined || began === undefined) return undefined;
  const passed = (began.epochMilliseconds - ended.epochMilliseconds) / 1000;
  return passed - unspoken - before.spacingSeconds - after.lagSeconds;
}

/** Gaps above this are not a camera changing files but another recording (cases: 1 to 30 frames at a join). */
const mostGapFrames = 30;

/** Frames between the end of a and the start of b by timecode; a day has a fixed count of labels. */
function timecodeGap(a: HeadFacts, b: HeadFacts): number | undefined {
  const [from, to, frames] = [valueOf(a.timecode), valueOf(b.timecode), valueOf(a.frames)];
  if (from === undefined || to === undefined || frames === undefined) return undefined;
  if (from.labelsPerSecond !== to.labelsPerSecond || from.dropFrame !== to.dropFrame) return undefined;
  const labels = from.labelsPerSecond;
  const day = from.dropFrame ? labels * 86_400 - (labels / 15) * 9 * 6 * 24 : labels * 86_400;
  const gap = (((to.startFrame - from.startFrame - frames) % day) + day) % day;
  return gap > day / 2 ? gap - day : gap;
}

/** Clocks that can run through from one file to the next. */
const runningClocks: readonly string[] = ["clock", "timecode", "telemetry clock", "stream clock"];

/**
 * Whether the time stamps of a transport stream go on where the file before ended, within a frame. A camera starts
 * every recording at the same small stamp, so stamps that go on belong to one recording (from memory).
 */
function streamRunsOn(a: HeadFacts, b: HeadFacts): boolean {
  if (valueOf(a.container) !== "mpeg-ts" || valueOf(b.container) !== "mpeg-ts") return false;
  const [from, lasts, to] = [valueOf(a.startSeconds), valueOf(a.durationSeconds), valueOf(b.startSeconds)];
  const rate = valueOf(a.frameRate);
  if (from === undefined || lasts === undefined || to === undefined || rate === undefined) return false;
  return compare(distance(add(from, lasts), to), invert(rate)) <= 0;
}

const settings = ["codec", "sampleEntry", "profile", "bitDepth", "width", "height", "transfer", "cameraModel"] as const;

function sameSettings(a: HeadFacts, b: HeadFacts): boolean {
  const rates: readonly (Ratio | undefined)[] = [valueOf(a.frameRate), valueOf(b.frameRate)];
  const [left, right] = rates;
  if (left === undefined || right === undefined || !equal(left, right)) return false;
  return settings.every((name) => valueOf<string | number>(a[name]) === valueOf<string | number>(b[name]));
}

const originalOf = (clip: ClipHead): ClipFile | undefined => clip.files.find((file) => file.role === "original");
const bytesOf = (clip: ClipHead): number => originalOf(clip)?.bytes ?? 0;
const isFull = (clip: ClipHead): boolean => isFullSize(bytesOf(clip));

/** Whether a file is as large as the file system of a card allows, or just below, where cameras split. */
export const isFullSize = (bytes: number): boolean => bytes >= leastFullBytes && bytes <= mostFullBytes;

/** Every item with the one behind it. */
export const pairs = <T>(list: readonly T[]): readonly (readonly [T, T])[] =>
  list.slice(1).map((item, place) => [list[place] as T, item] as const);

function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
}
