import type { FieldName } from "./cue-shape.ts";
import { factFields, isFactField } from "./fact-fold.ts";
import { kernelCode } from "./cue-kernel-code.ts";

/** What a slot of a frame holds; the same numbers as in assembly/cue-kernel.ts. */
export const slotKind = {
  /** A number that says nothing. */
  nothing: 0,
  /** A number between two bounds. */
  number: 1,
  /** A number that a reader makes something of. */
  value: 2,
  /** The clock of the camera. */
  clock: 3,
  /** Start and end of the cue that follows, as its heading states them. */
  start: 4,
  end: 5,
} as const;

/** Where the values of a cue go: the position, or the series whose place in the list of facts this is more than. */
const positionFields = { latitudeDegrees: 0, longitudeDegrees: 1, altitudeMetres: 2 } as const;
const firstSeries = 3;
const mostSeries = 16;

/** The kernel's number for where the values of a field go. */
export const fieldCode = (field: FieldName): number =>
  isFactField(field) ? firstSeries + factFields.indexOf(field) : positionFields[field];

/** How latitude and longitude are told apart, as the kernel has it. */
export const axesCode = { stated: 0, "longitude first": 1, "latitude first": 2 } as const;

/** Cues handed over at a time. */
export const mostBlock = 1024;

/** How reading ended: the cue at hand does not fit, may lie outside the window, is one of enough, waits for an answer. */
export const ending = { misfit: 0, outside: 1, enough: 2, asks: 3 } as const;

/** Names of the kernel's numbers that are set and read from here; assembly/cue-kernel.ts says what they mean. */
const numberNames = [
  "slots",
  "frameFrom",
  "frameTo",
  "axes",
  "secondsAt",
  "secondsDigits",
  "groupCount",
  "mostClockEnd",
  "minute",
  "changes",
  "cueFrom",
  "start",
  "end",
  "falls",
  "place",
  "textAt",
  "asksMinute",
  "latitude",
  "longitude",
  "altitude",
  "isFix",
  "byOrder",
  "fixes",
  "fixesByOrder",
  "clipEnd",
  "lastEnd",
  "stepsFound",
  "stride",
  "cues",
  "kept",
  "clocks",
  "lastClock",
] as const;

type KernelNumbers = Readonly<Record<(typeof numberNames)[number], { value: number }>>;

/** The compiled loops over the bytes of cues, with their memory. One for all texts: reading one is never interrupted. */
export interface CueKernel extends KernelNumbers {
  /** The text at hand; `windowAt` is the place of its first byte for the kernel. */
  readonly window: Uint8Array;
  readonly windowAt: number;
  readonly gaps: Int32Array;
  readonly lengths: Int32Array;
  readonly kinds: Uint8Array;
  readonly grammars: Uint8Array;
  readonly ranges: Float64Array;
  readonly digits: Uint8Array;
  readonly negatives: Uint8Array;
  readonly fields: Uint8Array;
  readonly readers: Int32Array;
  readonly groups: Int32Array;
  readonly changed: Int32Array;
  readonly froms: Int32Array;
  readonly tos: Int32Array;
  readonly numbers: Float64Array;
  readonly starts: Float64Array;
  readonly texts: Uint32Array;
  readonly lastFix: Float64Array;
  readonly keptFixes: Float64Array;
  readonly moments: Float64Array;
  readonly steps: Float64Array;
  readonly stepCounts: Int32Array;
  readonly seriesCounts: Int32Array;
  readonly seriesPlaces: Int32Array;
  readonly seriesStarts: Float64Array;
  readonly seriesValues: Float64Array;
  walk(limit: number, spare: number, most: number): number;
  one(from: number, to: number): number;
  take(): void;
  tell(change: number, value: number): void;
  pastMinute(from: number): number;
  countSteps(count: number): number;
  findHoles(count: number, limit: number): number;
}

/** The little of it that is used; Node's types leave it to those of browsers. */
declare const WebAssembly: {
  readonly Module: new (code: Uint8Array) => object;
  readonly Instance: new (module: object) => { readonly exports: object };
};

let started: CueKernel | undefined;

/** The kernel, compiled when it is first asked for. */
export const cueKernel = (): CueKernel => (started ??= start());

/** Slots of one frame at most, and different steps that are counted. */
export const mostSlots = 96;
const mostSteps = 12;

function start(): CueKernel {
  const code = Buffer.from(kernelCode, "base64");
  // The code is our own: its exports are those listed above.
  const kernel = new WebAssembly.Instance(new WebAssembly.Module(code)).exports as unknown as Pick<
    CueKernel,
    "walk" | "one" | "take" | "tell" | "pastMinute" | "countSteps" | "findHoles"
  > &
    Record<string, { value: number }> & { readonly memory: { readonly buffer: ArrayBuffer } };
  const { buffer } = kernel.memory;
  const at = (name: string): number => (kernel[name] as { value: number }).value;
  const { walk, one, take, tell, pastMinute, countSteps, findHoles } = kernel;
  return {
    // Each is a number of the kernel.
    ...(Object.fromEntries(numberNames.map((name) => [name, kernel[name]])) as unknown as KernelNumbers),
    window: new Uint8Array(buffer, at("window"), at("windowBytes")),
    windowAt: at("window"),
    gaps: new Int32Array(buffer, at("gaps"), mostSlots + 1),
    lengths: new Int32Array(buffer, at("lengths"), mostSlots),
    kinds: new Uint8Array(buffer, at("kinds"), mostSlots),
    grammars: new Uint8Array(buffer, at("grammars"), mostSlots),
    ranges: new Float64Array(buffer, at("ranges"), 2 * mostSlots),
    digits: new Uint8Array(buffer, at("digits"), 2 * mostSlots),
    negatives: new Uint8Array(buffer, at("negatives"), mostSlots),
    fields: new Uint8Array(buffer, at("fields"), mostSlots),
    readers: new Int32Array(buffer, at("readers"), mostSlots),
    groups: new Int32Array(buffer, at("groups"), 6),
    changed: new Int32Array(buffer, at("changed"), mostSlots),
    froms: new Int32Array(buffer, at("froms"), mostSlots),
    tos: new Int32Array(buffer, at("tos"), mostSlots),
    numbers: new Float64Array(buffer, at("numbers"), mostSlots),
    starts: new Float64Array(buffer, at("starts"), mostBlock),
    texts: new Uint32Array(buffer, at("texts"), mostBlock),
    lastFix: new Float64Array(buffer, at("lastFix"), 4),
    keptFixes: new Float64Array(buffer, at("keptFixes"), 4 * mostBlock),
    moments: new Float64Array(buffer, at("moments"), 2 * mostBlock),
    steps: new Float64Array(buffer, at("steps"), mostSteps),
    stepCounts: new Int32Array(buffer, at("stepCounts"), mostSteps),
    seriesCounts: new Int32Array(buffer, at("seriesCounts"), mostSeries),
    seriesPlaces: new Int32Array(buffer, at("seriesPlaces"), mostSeries * mostBlock),
    seriesStarts: new Float64Array(buffer, at("seriesStarts"), mostSeries * mostBlock),
    seriesValues: new Float64Array(buffer, at("seriesValues"), mostSeries * mostBlock),
    walk,
    one,
    take,
    tell,
    pastMinute,
    countSteps,
    findHoles,
  };
}
