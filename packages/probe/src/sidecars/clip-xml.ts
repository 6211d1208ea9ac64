import {
  absent,
  damaged,
  type Facts,
  type Origin,
  parseRate,
  type Rate,
  ratio,
  read,
  type Reading,
} from "@goodgate/model";
import { parseCreationTime } from "./creation-time.ts";
import { parseTimecode } from "./timecode-text.ts";
import { attribute, everyElement, parseXml, type XmlElement } from "./xml-tree.ts";

/** Facts that clip metadata in XML can give. */
export type ClipXmlFacts = Pick<
  Facts,
  "frameRate" | "captureRate" | "createdAt" | "timecode" | "frames" | "cameraMaker" | "cameraModel" | "serialNumber"
>;

/** Rates above this are typing errors; the fastest cameras of the trade stay below. */
const mostFramesPerSecond = 2000;

/**
 * Reads non-real-time clip metadata by local element and attribute names, whatever the namespace's version. `interlaced`
 * says what the clip itself is: `50i` counts frames with some writers and fields with others. A document of another kind
 * gives `notClipXml`; one that cannot be parsed a fault. Never throws.
 */
export function readClipXml(
  bytes: Uint8Array,
  file: string,
  interlaced: boolean,
): ClipXmlFacts | { readonly fault: string } | { readonly notClipXml: true } {
  const tree = parseXml(bytes);
  if ("fault" in tree) return tree;
  const first = (local: string): XmlElement | undefined => {
    for (const element of everyElement(tree)) if (element.local === local) return element;
    return undefined;
  };
  const frame = first("VideoFrame");
  const creation = first("CreationDate");
  if (frame === undefined && creation === undefined) return { notClipXml: true };
  const at = (place: string): Origin => ({ kind: "sidecar", file, place });
  const facts: { -readonly [Name in keyof ClipXmlFacts]: ClipXmlFacts[Name] } = {};

  const played = frame === undefined ? undefined : attribute(frame, "formatFps");
  if (played !== undefined) facts.frameRate = fps(played, interlaced, at("VideoFrame@formatFps"));
  const captured = frame === undefined ? undefined : attribute(frame, "captureFps");
  if (captured !== undefined) facts.captureRate = fps(captured, interlaced, at("VideoFrame@captureFps"));

  const date = creation === undefined ? undefined : attribute(creation, "value");
  if (date !== undefined) {
    const time = parseCreationTime(date);
    const origin = at("CreationDate@value");
    facts.createdAt = time === undefined ? damaged(`"${date.slice(0, 60)}" is no date`, origin) : read(time, origin);
  }
  const length = first("Duration");
  const frames = length === undefined ? undefined : attribute(length, "value");
  if (frames !== undefined && /^\d{1,12}$/.test(frames)) facts.frames = read(Number(frames), at("Duration@value"));

  const table = first("LtcChangeTable");
  if (table !== undefined) facts.timecode = timecodeOf(table, at("LtcChange@value"));
  const device = first("Device");
  const named = (key: string): Reading<string> | undefined => {
    const value = device === undefined ? undefined : attribute(device, key)?.trim();
    return value === undefined || value === "" ? undefined : read(value, at(`Device@${key}`));
  };
  const [maker, model, serial] = [named("manufacturer"), named("modelName"), named("serialNo")];
  if (maker !== undefined) facts.cameraMaker = maker;
  if (model !== undefined) facts.cameraModel = model;
  if (serial !== undefined) facts.serialNumber = serial;
  return facts;
}

/** `25p`, `59.94p`, `50i`: a number and how it counts. Above 30, `i` counts fields when the clip is interlaced. */
function fps(text: string, interlaced: boolean, origin: Origin): Reading<Rate> {
  const match = /^(\d{1,4}(?:\.\d{1,3})?)(p|i|psf)?$/i.exec(text.trim());
  const stated = match?.[1] === undefined ? undefined : parseRate(match[1]);
  if (stated === undefined || Number(match?.[1]) > mostFramesPerSecond) {
    return damaged(`"${text.slice(0, 40)}" is no frame rate`, origin);
  }
  const fields = match?.[2]?.toLowerCase() === "i" && interlaced && Number(match[1]) > 30;
  return read(fields ? ratio(stated.numerator, stated.denominator * 2n) : stated, origin);
}

/** Linear timecode as binary-coded decimals, pairs from frames to hours: `04030201` is 01:02:03:04. */
function timecodeOf(table: XmlElement, origin: Origin): NonNullable<ClipXmlFacts["timecode"]> {
  const nominal = Number(attribute(table, "tcFps") ?? Number.NaN);
  const change = table.children.find((child) => child.local === "LtcChange" && attribute(child, "frameCount") === "0");
  const value = change === undefined ? undefined : attribute(change, "value");
  if (value === undefined) return absent("the timecode table has no entry for the first frame");
  if (!/^[0-9A-F]{8}$/i.test(value)) return damaged(`"${value.slice(0, 40)}" is not eight digits`, origin);
  const pair = (place: number): number => Number.parseInt(value.slice(place, place + 2), 16);
  // Flag bits of SMPTE ST 12-1 share the bytes: drop-frame is 0x40 of the frames.
  const drop = (pair(0) & 0x40) !== 0;
  const label = `${digits(pair(6), 0x3f)}:${digits(pair(4), 0x7f)}:${digits(pair(2), 0x7f)}${drop ? ";" : ":"}${digits(pair(0), 0x3f)}`;
  const timecode = parseTimecode(label, nominal);
  return timecode === undefined
    ? damaged(`"${value}" is no timecode at ${nominal} labels`, origin)
    : read(timecode, origin);
}

const digits = (byte: number, mask: number): string => (byte & mask).toString(16).padStart(2, "0");
