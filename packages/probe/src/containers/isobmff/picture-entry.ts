import { type Box, type Bytes, childBox, code, codeName, eachBox, type Fault } from "./boxes.ts";
import { readAv1Record } from "./av1-header.ts";
import { intraProfile, objectTypeCodec, pictureCodec } from "./codec-names.ts";
import { type CodecRecord, readAvcRecord, readHevcRecord, readMpeg4Header, readVpRecord } from "./codec-records.ts";
import type { ColourBox } from "./colour.ts";
import { readDescriptor } from "./descriptors.ts";
import { readContentLight, readMasteringDisplay } from "./sei.ts";
import type { StreamHeader } from "./stream-header.ts";

/** A picture sample entry (ISO/IEC 14496-12, section 12.1.3) with the boxes inside it. */
export interface PictureEntry {
  /** Four-character code; of a protected entry the one of the original format. */
  readonly entry: string;
  readonly encrypted: boolean;
  readonly codec?: string;
  readonly width: number;
  readonly height: number;
  readonly record?: CodecRecord;
  /** What the codec record, or the entry's own name, says. */
  readonly header: StreamHeader;
  readonly colour?: ColourBox;
  readonly pixelAspect?: readonly [number, number];
  /** Width and height of the clean aperture as numerators and denominators. */
  readonly cleanAperture?: readonly [number, number, number, number];
  /** Count and order of fields (`fiel`). */
  readonly fields?: readonly [number, number];
  /** Light levels of `mdcv` and `clli`. */
  readonly light: StreamHeader;
  readonly faults: readonly Fault[];
}

/** Bytes of a picture sample entry before its first box. */
const fixedBytes = 78;

/** Reads the entry in `box`; undefined when the box is shorter than its fixed part. */
export function readPictureEntry(bytes: Bytes, box: Box, place: string): PictureEntry | undefined {
  const { view } = bytes;
  if (box.end - box.body < fixedBytes) return undefined;
  const faults: Fault[] = [];
  const light: StreamHeader = {};
  let name = codeName(box.type);
  let original: string | undefined;
  let record: CodecRecord | undefined;
  let specific: { codec?: string; header: StreamHeader } | undefined;
  let colour: ColourBox | undefined;
  let pixelAspect: readonly [number, number] | undefined;
  let cleanAperture: readonly [number, number, number, number] | undefined;
  let fields: readonly [number, number] | undefined;
  const broken = eachBox(bytes, box.body + fixedBytes, box.end, `${place}/${name}`, (child) => {
    const { body, end } = child;
    const size = end - body;
    const childName = codeName(child.type);
    const reader = recordReaders[childName];
    if (reader !== undefined) {
      record ??= reader(bytes, body, end);
      if (record === undefined) faults.push(unreadable(bytes, child, `${place}/${name}/${childName}`));
      return;
    }
    switch (childName) {
      case "colr":
        colour ??= readColour(bytes, body, end);
        return;
      case "pasp":
        if (size >= 8) pixelAspect = [view.getUint32(body), view.getUint32(body + 4)];
        return;
      case "clap":
        if (size >= 16) {
          cleanAperture = [0, 4, 8, 12].map((at) => view.getUint32(body + at)) as [number, number, number, number];
        }
        return;
      case "fiel":
        if (size >= 2) fields = [view.getUint8(body), view.getUint8(body + 1)];
        return;
      case "mdcv":
        if (size >= 24) readMasteringDisplay(view, body, light);
        return;
      case "clli":
        if (size >= 4) readContentLight(view, body, light);
        return;
      case "esds": {
        const descriptor = readDescriptor(bytes, body, end);
        if (descriptor === undefined) faults.push(unreadable(bytes, child, `${place}/${name}/esds`));
        else {
          const codec = objectTypeCodec(descriptor.objectType);
          const header = readMpeg4Header(descriptor.specific);
          specific = codec === undefined ? { header } : { codec, header };
        }
        return;
      }
      case "sinf": {
        const format = childBox(bytes, body, end, code("frma"));
        if (format !== undefined && format.end - format.body >= 4) original = codeName(view.getUint32(format.body));
        return;
      }
      default:
    }
  });
  if (broken !== undefined) faults.push(broken);
  const encrypted = name === "encv";
  if (encrypted && original !== undefined) name = original;
  const codec = specific?.codec ?? pictureCodec(name);
  const intra = intraProfile(name);
  const named: StreamHeader = intra === undefined ? {} : { profile: intra[0], bitDepth: intra[1], chroma: intra[2] };
  // JPEG in files is the full range of BT.601 by definition (ITU-T T.871, section 7); H.273 numbers its matrix 5.
  if (codec === "mjpeg") Object.assign(named, { matrix: 5, fullRange: true });
  return {
    entry: name,
    encrypted,
    ...(codec === undefined ? {} : { codec }),
    width: view.getUint16(box.body + 24),
    height: view.getUint16(box.body + 26),
    ...(record === undefined ? {} : { record }),
    header: { ...named, ...specific?.header, ...record?.header },
    ...(colour === undefined ? {} : { colour }),
    ...(pixelAspect === undefined ? {} : { pixelAspect }),
    ...(cleanAperture === undefined ? {} : { cleanAperture }),
    ...(fields === undefined ? {} : { fields }),
    light,
    faults,
  };
}

const recordReaders: Readonly<Record<string, (bytes: Bytes, from: number, to: number) => CodecRecord | undefined>> = {
  avcC: readAvcRecord,
  hvcC: readHevcRecord,
  av1C: readAv1Record,
  vpcC: readVpRecord,
};

const unreadable = (bytes: Bytes, box: Box, place: string): Fault => ({
  at: bytes.base + box.start,
  place,
  why: "the codec's configuration record breaks its own lengths",
});

/** `colr` as `nclx` (ISO/IEC 14496-12, section 12.1.5) or `nclc` (QuickTime); undefined for an ICC profile. */
function readColour(bytes: Bytes, body: number, end: number): ColourBox | undefined {
  const { view } = bytes;
  if (end - body < 10) return undefined;
  const kind = codeName(view.getUint32(body));
  if (kind !== "nclx" && kind !== "nclc") return undefined;
  const three = {
    primaries: view.getUint16(body + 4),
    transfer: view.getUint16(body + 6),
    matrix: view.getUint16(body + 8),
  };
  return kind === "nclx" && end - body >= 11 ? { ...three, fullRange: (view.getUint8(body + 10) & 0x80) !== 0 } : three;
}
