import { damaged, type Origin, type Position, read, type TelemetrySummary } from "@goodgate/model";
import type { CountedFile } from "../bytes.ts";
import type { TelemetryFacts } from "../contracts.ts";

/** Stretch from the start that is looked through: program tables come every 0.1 s, the first set within a second or so. */
export const klvStretchBytes = 1024 * 1024;
/** A set of place and clock has some 100 bytes; a payload longer than this is something else. */
const mostPayloadBytes = 64 * 1024;
/** Sets kept from the stretch. */
const mostSets = 1000;

/** What one set says. */
interface LocalSet {
  readonly microsecondsSince1970?: number;
  readonly position?: Position;
  readonly faulty: boolean;
}

/**
 * Place and clock from a metadata stream of MISB ST 0601 sets (SMPTE ST 336 keys and lengths) in a transport stream,
 * carried with the registration `KLVA` or as metadata access units (MISB ST 1402, from memory). Undefined when the
 * program tables name no such stream. Only the first MiB is read; it has no exposure to tell.
 */
export async function readTransportKlv(file: CountedFile, path: string): Promise<TelemetryFacts | undefined> {
  const bytes = await file.read(0, klvStretchBytes);
  const packets = [...packetsOf(bytes)];
  const stream = metadataPid(packets);
  if (stream === undefined) return undefined;
  const place = `metadata stream, PID 0x${stream.toString(16)}`;
  const origin: Origin = { kind: "per-frame record", file: path, place };
  const sets = payloadsOf(packets, stream).slice(0, mostSets).map(parseSet);
  const good = sets.filter((set) => set !== undefined && !set.faulty);
  const unread = sets.length - good.length;
  const clocks = good.flatMap((set) => set?.microsecondsSince1970 ?? []);
  const [first, last] = [clocks[0], clocks.at(-1)];
  const position = good.find((set) => set?.position !== undefined)?.position;
  if (first === undefined && position === undefined) {
    return { telemetry: damaged(`none of ${sets.length} metadata sets can be read`, origin) };
  }
  const span = first === undefined || last === undefined ? 0 : (last - first) / 1e6;
  const summary: TelemetrySummary = {
    dialect: "st-0601",
    records: good.length,
    unreadRecords: unread,
    spacingSeconds: good.length > 1 ? span / (good.length - 1) : 0,
    cadence: "irregular",
    coverage: 0,
    sampled: "the first MiB of the stream",
    gaps: [],
    lagSeconds: 0,
    endSeconds: span,
    ...(first === undefined ? {} : { firstClock: clockText(first), clockSource: "satellite", clockStepSeconds: 1e-6 }),
    ...(last === undefined ? {} : { lastClock: clockText(last), clockSpanSeconds: span }),
    unknownKeys: {},
    remarks: ["These sets tell place and clock; they have no item for shutter or ISO."],
  };
  return { telemetry: read(summary, origin), ...(position === undefined ? {} : { location: read(position, origin) }) };
}

const clockText = (microseconds: number): string => new Date(Math.floor(microseconds / 1000)).toISOString();

/** Transport packets of 188 bytes, with or without four bytes before each (ISO/IEC 13818-1, section 2.4.3). */
function* packetsOf(bytes: Uint8Array): Generator<Uint8Array> {
  const size = bytes[0] === 0x47 ? 188 : 192;
  for (let at = size - 188; at + 188 <= bytes.length; at += size) {
    if (bytes[at] === 0x47) yield bytes.subarray(at, at + 188);
  }
}

const pidOf = (packet: Uint8Array): number => (((packet[1] as number) & 0x1f) << 8) | (packet[2] as number);
const startsUnit = (packet: Uint8Array): boolean => ((packet[1] as number) & 0x40) !== 0;

/** The bytes behind the header and the adaptation field; empty when there are none. */
function payload(packet: Uint8Array): Uint8Array {
  const control = ((packet[3] as number) >> 4) & 3;
  if ((control & 1) === 0) return packet.subarray(188);
  return packet.subarray(control === 3 ? Math.min(188, 5 + (packet[4] as number)) : 4);
}

/** The table that starts in a packet, behind its pointer field. Program tables of a camera fit in one packet. */
function section(packet: Uint8Array): Uint8Array {
  const body = payload(packet);
  const table = body.subarray(1 + (body[0] ?? 0));
  const length = (((table[1] ?? 0) & 0x0f) << 8) | (table[2] ?? 0);
  // The last four bytes are the checksum.
  return table.subarray(0, Math.max(0, Math.min(table.length, 3 + length - 4)));
}

function metadataPid(packets: readonly Uint8Array[]): number | undefined {
  const programs = packets.find((packet) => pidOf(packet) === 0 && startsUnit(packet));
  if (programs === undefined) return undefined;
  const list = section(programs);
  for (let at = 8; at + 4 <= list.length; at += 4) {
    const number = ((list[at] as number) << 8) | (list[at + 1] as number);
    const pid = (((list[at + 2] as number) & 0x1f) << 8) | (list[at + 3] as number);
    const map = packets.find((packet) => number !== 0 && pidOf(packet) === pid && startsUnit(packet));
    const found = map === undefined ? undefined : metadataStream(section(map));
    if (found !== undefined) return found;
  }
  return undefined;
}

function metadataStream(map: Uint8Array): number | undefined {
  const skip = (((map[10] ?? 0) & 0x0f) << 8) | (map[11] ?? 0);
  for (let at = 12 + skip; at + 5 <= map.length;) {
    const type = map[at] as number;
    const pid = (((map[at + 1] as number) & 0x1f) << 8) | (map[at + 2] as number);
    const length = (((map[at + 3] as number) & 0x0f) << 8) | (map[at + 4] as number);
    const descriptors = Buffer.from(map.subarray(at + 5, at + 5 + length)).toString("latin1");
    if (type === 0x15 || (type === 0x06 && descriptors.includes("KLVA"))) return pid;
    at += 5 + length;
  }
  return undefined;
}

/** What the packets of one stream carry, one entry per packetised unit, behind its header (13818-1, section 2.4.3.6). */
function payloadsOf(packets: readonly Uint8Array[], pid: number): readonly Uint8Array[] {
  const units: Uint8Array[][] = [];
  for (const packet of packets) {
    if (pidOf(packet) !== pid) continue;
    if (startsUnit(packet)) units.push([]);
    units.at(-1)?.push(payload(packet));
  }
  return units.flatMap((parts) => {
    const unit = Buffer.concat(parts.slice(0, Math.ceil(mostPayloadBytes / 184)));
    if (unit.length < 9 || unit[0] !== 0 || unit[1] !== 0 || unit[2] !== 1) return [];
    return [unit.subarray(9 + (unit[8] as number))];
  });
}

/** Universal label of the UAS local set (MISB ST 0601). */
const label = Buffer.from("060e2b34020b01010e01030101000000", "hex");

/** Reads one set; undefined when there is none in the payload, faulty when its lengths or its sum are wrong. */
export function parseSet(bytes: Uint8Array): LocalSet | undefined {
  const all = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  // Access units put five bytes before the label.
  const start = all.indexOf(label);
  if (start < 0 || start > 64) return undefined;
  const length = berLength(all, start + 16);
  if (length === undefined || length.next + length.value > all.length) return { faulty: true };
  const end = length.next + length.value;
  const items = new Map<number, Buffer>();
  let at = length.next;
  let sumAt: number | undefined;
  while (at < end) {
    const tag = all[at] as number;
    const size = berLength(all, at + 1);
    // Tags above 127 take more bytes; none of ours is among them.
    if (size === undefined || tag > 127 || size.next + size.value > end) return { faulty: true };
    if (tag === 1) sumAt = size.next;
    items.set(tag, all.subarray(size.next, size.next + size.value));
    at = size.next + size.value;
  }
  // The sum must close the set (ST 0601, tag 1); without it nothing says that the bytes arrived as they were sent.
  const sum = items.get(1);
  if (sumAt === undefined || sum?.length !== 2) return { faulty: true };
  if (runningSum(all.subarray(start, sumAt)) !== sum.readUInt16BE()) return { faulty: true };
  const clock = items.get(2);
  const micros = clock?.length === 8 ? Number(clock.readBigUInt64BE()) : undefined;
  const position = positionOf(items);
  return {
    faulty: false,
    // Between 2000 and 2100; anything else is a clock that was never set.
    ...(micros === undefined || micros < 946_684_800e6 || micros > 4_102_444_800e6
      ? {}
      : { microsecondsSince1970: micros }),
    ...(position === undefined ? {} : { position }),
  };
}

function positionOf(items: ReadonlyMap<number, Buffer>): Position | undefined {
  const [latitude, longitude, height] = [items.get(13), items.get(14), items.get(15)];
  if (latitude?.length !== 4 || longitude?.length !== 4) return undefined;
  const [north, east] = [latitude.readInt32BE(), longitude.readInt32BE()];
  // The least number stands for "no value".
  if (north === -(2 ** 31) || east === -(2 ** 31) || (north === 0 && east === 0)) return undefined;
  return {
    latitudeDegrees: (north * 90) / (2 ** 31 - 1),
    longitudeDegrees: (east * 180) / (2 ** 31 - 1),
    ...(height?.length === 2 ? { altitudeMetres: (height.readUInt16BE() * 19_900) / 65_535 - 900 } : {}),
  };
}

/** A length in basic encoding (ISO/IEC 8825-1, section 8.1.3): one byte, or a count of bytes and then these. */
function berLength(bytes: Buffer, at: number): { readonly value: number; readonly next: number } | undefined {
  const first = bytes[at];
  if (first === undefined) return undefined;
  if (first < 0x80) return { value: first, next: at + 1 };
  const count = first & 0x7f;
  if (count < 1 || count > 4 || at + 1 + count > bytes.length) return undefined;
  return { value: bytes.readUIntBE(at + 1, count), next: at + 1 + count };
}

/** The 16-bit running sum of ST 0601: even bytes count in the upper half, odd ones in the lower. */
function runningSum(bytes: Uint8Array): number {
  return bytes.reduce((sum, byte, place) => (sum + (byte << (8 * ((place + 1) % 2)))) & 0xffff, 0);
}
