import { type Box, type Bytes, code, codeName, eachBox, type Fault, wide } from "./boxes.ts";
import { durationField, identity, readMatrix } from "./header-fields.ts";
import { type MetadataItem, readMeta, readUserData } from "./metadata-keys.ts";
import { readTrack, type Track } from "./track.ts";

/** Defaults of one track's fragments (`trex`, ISO/IEC 14496-12, section 8.8.3). */
export interface FragmentDefaults {
  readonly duration: number;
  readonly size: number;
  readonly flags: number;
}

/** The movie box as read: everything of the file but its samples. */
export interface Movie {
  readonly bytes: Bytes;
  /** Ticks per second of the movie's clock; 0 is damage. */
  readonly timescale: number;
  /** In movie ticks; absent when the header leaves it open. */
  readonly duration?: number;
  /** Seconds since 1904 as stored; absent when there is no header. */
  readonly clock?: number;
  readonly matrix: readonly number[];
  readonly tracks: readonly Track[];
  /** Present when samples may follow in fragments (`mvex`). */
  readonly fragmentDefaults?: ReadonlyMap<number, FragmentDefaults>;
  readonly metadata: readonly MetadataItem[];
  readonly faults: readonly Fault[];
  readonly xmp?: Uint8Array;
  /** Set when the box is packed (`cmov`), which this reader does not open. */
  readonly packed: boolean;
}

/** Tracks read of one movie. Cameras write up to a dozen; the bound only stops a damaged file. */
const mostTracks = 256;

/** Reads a whole `moov` box that begins at the start of `bytes`. Never throws: what breaks becomes a fault. */
export function readMovie(bytes: Bytes, from: number, to: number): Movie {
  const faults: Fault[] = [];
  const tracks: Track[] = [];
  const metadata: MetadataItem[] = [];
  const defaults = new Map<number, FragmentDefaults>();
  let fragmented = false;
  let packed = false;
  let xmp: Uint8Array | undefined;
  let header: MovieHeader | undefined;
  const note = (fault: Fault | undefined): void => {
    if (fault !== undefined) faults.push(fault);
  };
  const keepPacket = (packet: Uint8Array): void => {
    xmp ??= packet.slice();
  };
  note(
    eachBox(bytes, from, to, "moov", (box) => {
      switch (codeName(box.type)) {
        case "mvhd":
          header = readMovieHeader(bytes, box);
          if (header === undefined)
            note({ at: bytes.base + box.start, place: "moov/mvhd", why: "the box is too short" });
          return;
        case "trak":
          if (tracks.length < mostTracks) tracks.push(readTrack(bytes, box, `moov/trak[${tracks.length + 1}]`));
          return;
        case "mvex":
          fragmented = true;
          note(eachBox(bytes, box.body, box.end, "moov/mvex", (child) => readDefaults(bytes, child, defaults)));
          return;
        case "udta":
          note(readUserData(bytes, box.body, box.end, "moov/udta", metadata, keepPacket));
          return;
        case "meta":
          note(readMeta(bytes, box.body, box.end, "moov/meta", metadata));
          return;
        case "cmov":
          packed = true;
          return;
        default:
      }
    }),
  );
  for (const track of tracks) {
    faults.push(...track.faults);
    if (track.userData === undefined) continue;
    note(readUserData(bytes, track.userData.body, track.userData.end, `${track.place}/udta`, metadata, keepPacket));
  }
  return {
    bytes,
    timescale: header?.timescale ?? 0,
    ...(header?.duration === undefined ? {} : { duration: header.duration }),
    ...(header === undefined ? {} : { clock: header.clock }),
    matrix: header?.matrix ?? identity,
    tracks,
    ...(fragmented ? { fragmentDefaults: defaults } : {}),
    metadata,
    faults,
    ...(xmp === undefined ? {} : { xmp }),
    packed,
  };
}

interface MovieHeader {
  readonly clock: number;
  readonly timescale: number;
  readonly duration?: number;
  readonly matrix: readonly number[];
}

/** `mvhd` (ISO/IEC 14496-12, section 8.2.2). A length of all ones, or zero, says that it is not known. */
function readMovieHeader(bytes: Bytes, box: Box): MovieHeader | undefined {
  const { view } = bytes;
  const long = box.end - box.body > 0 && view.getUint8(box.body) === 1;
  if (box.end - box.body < (long ? 112 : 100)) return undefined;
  const at = box.body + 4;
  const duration = durationField(view, at + (long ? 20 : 12), long);
  return {
    clock: long ? wide(view, at) : view.getUint32(at),
    timescale: view.getUint32(at + (long ? 16 : 8)),
    ...(duration === undefined ? {} : { duration }),
    matrix: readMatrix(view, at + (long ? 28 : 16) + 16),
  };
}

function readDefaults(bytes: Bytes, box: Box, defaults: Map<number, FragmentDefaults>): void {
  const { view } = bytes;
  if (box.type !== code("trex") || box.end - box.body < 24 || defaults.size >= mostTracks) return;
  defaults.set(view.getUint32(box.body + 4), {
    duration: view.getUint32(box.body + 12),
    size: view.getUint32(box.body + 16),
    flags: view.getUint32(box.body + 20),
  });
}
