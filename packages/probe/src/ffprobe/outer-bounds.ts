import { absent, damaged, type Origin, read, type Reading } from "@goodgate/model";
import type { CountedFile } from "../bytes.ts";

/** The header of a Matroska file lies within this; a longer one is stuffed with padding. */
const headBytes = 4096;
/** Packets looked at on either end of a transport stream. */
const packetsLookedAt = 8;
const syncByte = 0x47;
/** MPEG-2 systems packets, and the same behind the 4-byte arrival stamp of camera files (from memory). */
const packetSizes = [188, 192] as const;

/**
 * Whether a file ends where its own header says, for the containers that ffprobe reads for us. ffprobe itself reads
 * cut files without a word. Costs one or two reads of a few kB.
 */
export async function readOuterBounds(file: CountedFile, path: string, container: string): Promise<Reading<"whole">> {
  const origin: Origin = { kind: "container", file: path, place: "outer size" };
  const head = await file.read(0, headBytes);
  if (container === "matroska") return matroska(head, file.size, origin);
  if (container === "avi") return riff(head, file.size, origin);
  if (container === "mpeg-ts") return await transportStream(file, head, origin);
  if (container === "mxf") return mxf(head, file.size, origin);
  return absent("where this container should end is not known");
}

/** EBML variable-length integer (RFC 8794, section 4); all value bits set means "unknown". */
function variableInteger(
  bytes: Uint8Array,
  at: number,
): { readonly length: number; readonly value?: number } | undefined {
  const first = bytes[at];
  if (first === undefined || first === 0) return undefined;
  const length = Math.clz32(first) - 23;
  if (at + length > bytes.length) return undefined;
  let value = BigInt(first & (0xff >> length));
  for (let place = 1; place < length; place += 1) value = (value << 8n) | BigInt(bytes[at + place] as number);
  const unknown = value === (1n << BigInt(7 * length)) - 1n;
  return unknown || value > BigInt(Number.MAX_SAFE_INTEGER) ? { length } : { length, value: Number(value) };
}

function matroska(head: Uint8Array, size: number, origin: Origin): Reading<"whole"> {
  const ebml = variableInteger(head, 4);
  if (ebml?.value === undefined) return damaged("the EBML header has no length", origin);
  const segment = 4 + ebml.length + ebml.value;
  const id = head.subarray(segment, segment + 4);
  if (Buffer.from(id).toString("hex") !== "18538067") return absent("the segment does not stand in the first 4 kB");
  const length = variableInteger(head, segment + 4);
  if (length === undefined) return damaged("the segment has no length", origin);
  if (length.value === undefined)
    return absent("the segment's length was never written: the recording may not be closed");
  return within(segment + 4 + length.length + length.value, size, origin);
}

function riff(head: Uint8Array, size: number, origin: Origin): Reading<"whole"> {
  if (head.length < 12) return damaged("shorter than its header", origin);
  const end = 8 + new DataView(head.buffer, head.byteOffset, head.byteLength).getUint32(4, true);
  return within(end, size, origin);
}

function within(end: number, size: number, origin: Origin): Reading<"whole"> {
  return end > size
    ? damaged(`${end - size} bytes are missing at the end: the header announces ${end}, the file has ${size}`, origin)
    : read("whole", origin);
}

async function transportStream(file: CountedFile, head: Uint8Array, origin: Origin): Promise<Reading<"whole">> {
  for (const packet of packetSizes) {
    const offset = packet - 188;
    const inStep = (bytes: Uint8Array): boolean => {
      const packets = Math.min(packetsLookedAt, Math.floor(bytes.length / packet));
      for (let place = 0; place < packets; place += 1) if (bytes[offset + place * packet] !== syncByte) return false;
      return packets > 0;
    };
    if (!inStep(head)) continue;
    const rest = file.size % packet;
    if (rest !== 0) return damaged(`the last packet is cut: ${rest} of ${packet} bytes`, origin);
    const tail = await file.read(Math.max(0, file.size - packetsLookedAt * packet), packetsLookedAt * packet);
    return inStep(tail)
      ? read("whole", { ...origin, place: "packets in step at both ends; this container has no index" })
      : damaged("the end holds no transport packets", origin);
  }
  return damaged("no transport packets in step at the start", origin);
}

/** SMPTE ST 377-1 partition pack, known here from public readers: footer offset 24 bytes into the value. */
function mxf(head: Uint8Array, size: number, origin: Origin): Reading<"whole"> {
  const key = Buffer.from(head.subarray(0, 13)).toString("hex");
  if (key !== "060e2b34020501010d01020101") return absent("no partition pack at the start");
  const first = head[16];
  if (first === undefined) return damaged("shorter than its header", origin);
  const value = 17 + (first >= 0x80 ? first & 0x7f : 0);
  const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
  if (value + 32 > head.length) return damaged("shorter than its header", origin);
  const footer = Number(view.getBigUint64(value + 24));
  if (footer === 0) return absent("the header names no footer: the recording may not be closed");
  return footer >= size
    ? damaged(`the footer should stand at ${footer}, the file ends at ${size}`, origin)
    : read("whole", { ...origin, place: "footer offset" });
}
