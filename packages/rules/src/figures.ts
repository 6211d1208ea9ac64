import { type Brief, type Clip, compare, extremes, multiply, typicalValue, valueOf } from "@goodgate/model";
import type { CardFacts } from "./card-facts.ts";
import type { ClipRates } from "./rule.ts";
import { slowMotionFrom } from "./uses.ts";

/** Where a clip stands among the others. */
export interface ClipPlace {
  /** Camera as the files name it: maker, model and serial number joined; empty when they name none. */
  readonly camera: string;
  /** Clips of one camera whose starts follow within ten minutes are one scene (inferred); undefined without a clock. */
  readonly scene?: string;
}

/** How a camera's clips at ordinary rates were recorded; each item only where most of them agree. */
export interface OrdinaryMode {
  readonly clips: number;
  readonly bitDepth?: number;
  readonly transfer?: string;
  readonly width?: number;
  readonly height?: number;
  /** Median bits for each pixel of a frame, by codec. */
  readonly bitsPerPixel: ReadonlyMap<string, number>;
  readonly focalLength35mm?: number;
}

/** What can only be said of a clip by looking at the others. */
export interface CardFigures {
  /** Lowest ISO on the card, for each camera. */
  readonly lowestIso: ReadonlyMap<string, number>;
  /** Lowest typical ISO, for each scene. */
  readonly sceneIso: ReadonlyMap<string, number>;
  readonly cameras: number;
  readonly clips: number;
  /** Share of clips with timecode, 0 to 1. */
  readonly timecodeShare: number;
  /** Whether every timecode on the card starts at zero. */
  readonly timecodeAllZero: boolean;
  /** Most bytes per frame among clips of the same camera, codec, raster and rate, with how many clips there are. */
  readonly bytesPerFrame: ReadonlyMap<string, { readonly most: number; readonly clips: number }>;
  readonly ordinary: ReadonlyMap<string, OrdinaryMode>;
  /** Median fine detail in decibels of the clips of one scene, camera and mode, by both keys joined with a bar. */
  readonly sharpness: ReadonlyMap<string, { readonly median: number; readonly clips: number }>;
}

/** Longest time between the starts of two clips of one scene. House limit. */
export const sceneGapMilliseconds = 10 * 60_000;

const byNumber = (a: number, b: number): number => a - b;

/** Camera of a clip as its files name it. */
export const cameraOf = (facts: CardFacts): string =>
  [valueOf(facts.cameraMaker), valueOf(facts.cameraModel), valueOf(facts.serialNumber)]
    .filter((part) => part !== undefined)
    .join(" ");

/** Key of clips whose bit rates can be compared: one camera, codec, raster and rate. */
export function recordingKey(camera: string, facts: CardFacts): string | undefined {
  const codec = valueOf(facts.codec);
  const width = valueOf(facts.width);
  const height = valueOf(facts.height);
  const rate = valueOf(facts.frameRate);
  return codec === undefined || width === undefined || height === undefined || rate === undefined
    ? undefined
    : `${camera}|${codec}|${width}x${height}|${rate.numerator}/${rate.denominator}`;
}

/** Bits for each pixel of a frame, sound included: what a mode spends whatever its rate and raster. */
export function bitsPerPixelOf(facts: CardFacts): number | undefined {
  const size = bytesPerFrameOf(facts);
  const pixels = (valueOf(facts.width) ?? 0) * (valueOf(facts.height) ?? 0);
  return size === undefined || pixels <= 0 ? undefined : (8 * size) / pixels;
}

/** Typical focal length, 35 mm equivalent. */
export function focalLengthOf(facts: CardFacts): number | undefined {
  const series = valueOf(facts.focalLength35mm);
  const focal = series === undefined ? 0 : typicalValue(series, byNumber);
  return focal > 0 ? focal : undefined;
}

/** Bytes of picture and sound per frame. */
export function bytesPerFrameOf(facts: CardFacts): number | undefined {
  const frames = valueOf(facts.frames);
  const extent = valueOf(facts.dataExtent);
  if (frames === undefined || frames < 1 || extent === undefined) return undefined;
  const bytes = extent.endByte - extent.firstByte;
  return bytes > 0 ? bytes / frames : undefined;
}

interface Placed {
  readonly clip: Pick<Clip, "name">;
  readonly facts: CardFacts;
  readonly rates: ClipRates | undefined;
}

/** Camera and scene of each clip, by name. */
export function placeClips(clips: readonly Placed[]): ReadonlyMap<string, ClipPlace> {
  const started = clips.map(({ clip, facts }) => {
    const at = valueOf(facts.createdAt);
    return {
      name: clip.name,
      camera: cameraOf(facts),
      start: at === undefined || at.suspect !== undefined ? undefined : at.epochMilliseconds,
    };
  });
  started.sort((a, b) => byText(a.camera, b.camera) || (a.start ?? 0) - (b.start ?? 0) || byText(a.name, b.name));
  const places = new Map<string, ClipPlace>();
  let scene = 0;
  let previous: (typeof started)[number] | undefined;
  for (const at of started) {
    if (at.start === undefined) {
      places.set(at.name, { camera: at.camera });
      continue;
    }
    const far =
      previous?.start === undefined ||
      previous.camera !== at.camera ||
      at.start - previous.start > sceneGapMilliseconds;
    if (far) scene += 1;
    places.set(at.name, { camera: at.camera, scene: `scene ${scene}` });
    previous = at;
  }
  return places;
}

/** The figures of a card. */
export function cardFigures(
  clips: readonly Placed[],
  places: ReadonlyMap<string, ClipPlace>,
  brief: Brief,
): CardFigures {
  const lowestIso = new Map<string, number>();
  const sceneIso = new Map<string, number>();
  const bytesPerFrame = new Map<string, { most: number; clips: number }>();
  const ordinaryClips = new Map<string, CardFacts[]>();
  const cameras = new Set<string>();
  const ordinaryBelow = multiply(slowMotionFrom, brief.timelineRate);
  const details = new Map<string, number[]>();
  let withTimecode = 0;
  let fromZero = 0;
  for (const { clip, facts, rates } of clips) {
    const place = places.get(clip.name);
    const camera = place?.camera ?? "";
    cameras.add(camera);
    const iso = valueOf(facts.iso);
    if (iso !== undefined) {
      const { least } = extremes(iso, byNumber);
      if (least > 0) lowestIso.set(camera, Math.min(least, lowestIso.get(camera) ?? Number.POSITIVE_INFINITY));
      const typical = typicalValue(iso, byNumber);
      const scene = place?.scene;
      if (scene !== undefined && typical > 0) {
        sceneIso.set(scene, Math.min(typical, sceneIso.get(scene) ?? Number.POSITIVE_INFINITY));
      }
    }
    const timecode = valueOf(facts.timecode);
    if (timecode !== undefined) {
      withTimecode += 1;
      if (timecode.startFrame === 0) fromZero += 1;
    }
    const key = recordingKey(camera, facts);
    const size = bytesPerFrameOf(facts);
    if (key !== undefined && size !== undefined) {
      const known = bytesPerFrame.get(key);
      if (known === undefined) bytesPerFrame.set(key, { most: size, clips: 1 });
      else {
        known.most = Math.max(known.most, size);
        known.clips += 1;
      }
    }
    const sharp = valueOf(facts.sharpness);
    if (sharp !== undefined && place?.scene !== undefined)
      pushTo(details, `${place.scene}|${key}`, sharp.detailDecibels);
    if (rates !== undefined && compare(rates.capture, ordinaryBelow) < 0) pushTo(ordinaryClips, camera, facts);
  }
  const ordinary = new Map<string, OrdinaryMode>();
  for (const [camera, list] of ordinaryClips) ordinary.set(camera, ordinaryMode(list));
  return {
    lowestIso,
    sceneIso,
    cameras: cameras.size,
    clips: clips.length,
    timecodeShare: clips.length === 0 ? 0 : withTimecode / clips.length,
    timecodeAllZero: withTimecode > 1 && fromZero === withTimecode,
    bytesPerFrame,
    ordinary,
    sharpness: new Map([...details].map(([of, list]) => [of, { median: median(list), clips: list.length }])),
  };
}

function ordinaryMode(list: readonly CardFacts[]): OrdinaryMode {
  const bitDepth = mostCommon(list.map((facts) => valueOf(facts.bitDepth)));
  const transfer = mostCommon(list.map((facts) => valueOf(facts.transfer)));
  const width = mostCommon(list.map((facts) => valueOf(facts.width)));
  const height = mostCommon(list.map((facts) => valueOf(facts.height)));
  const focalLength35mm = mostCommon(list.map(focalLengthOf));
  const spent = new Map<string, number[]>();
  for (const facts of list) {
    const [codec, bits] = [valueOf(facts.codec), bitsPerPixelOf(facts)];
    if (codec !== undefined && bits !== undefined) pushTo(spent, codec, bits);
  }
  return {
    clips: list.length,
    bitsPerPixel: new Map([...spent].map(([codec, bits]) => [codec, median(bits)])),
    ...(focalLength35mm === undefined ? {} : { focalLength35mm }),
    ...(bitDepth === undefined ? {} : { bitDepth }),
    ...(transfer === undefined ? {} : { transfer }),
    ...(width === undefined ? {} : { width }),
    ...(height === undefined ? {} : { height }),
  };
}

/** The value more than half of the list holds. */
export function mostCommon<T extends string | number>(values: readonly (T | undefined)[]): T | undefined {
  const counts = new Map<T, number>();
  for (const value of values) if (value !== undefined) counts.set(value, (counts.get(value) ?? 0) + 1);
  for (const [value, count] of counts) if (count * 2 > values.length) return value;
  return undefined;
}

/** The middle value; the lower one of two. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort(byNumber);
  return sorted[Math.floor((sorted.length - 1) / 2)] ?? 0;
}

/** Order of texts by their code units: the same on every machine. */
export const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Adds a value to the list of its key. */
export function pushTo<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
}
