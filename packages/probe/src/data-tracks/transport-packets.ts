/** Bytes of a transport packet (ISO/IEC 13818-1, section 2.4.3.2). */
const packetBytes = 188;
const syncByte = 0x47;
/** Largest payload kept of one packetised unit; records of aircraft have under a kilobyte. */
const mostUnitBytes = 64 * 1024;
/** Units kept of one program stream. */
const mostUnits = 100_000;

/** One packetised unit of an elementary stream. */
export interface StreamUnit {
  readonly payload: Uint8Array;
  /** Presentation time in ticks of 1/90000 s, when the unit has one. */
  readonly ticks: number | undefined;
}

/** What a stretch of a transport stream holds. */
export interface TransportContent {
  /** Units of the streams that may carry records. */
  readonly units: readonly StreamUnit[];
  /** Least presentation time of the picture stream. */
  readonly pictureTicks: number | undefined;
}

/** Reads stretches of one transport stream: tables, then the units of streams declared as, or able to hold, KLV. */
export function readTransport(stretches: readonly Uint8Array[]): TransportContent {
  const maps = new Set<number>();
  const records = new Set<number>();
  const pictures = new Set<number>();
  const units: StreamUnit[] = [];
  let pictureTicks: number | undefined;
  for (const stretch of stretches) {
    const open = new Map<number, { parts: Uint8Array[]; length: number }>();
    const close = (pid: number): void => {
      const unit = open.get(pid);
      open.delete(pid);
      if (unit === undefined || units.length >= mostUnits) return;
      const read = readUnit(Buffer.concat(unit.parts));
      if (read !== undefined) units.push(read);
    };
    for (const { pid, starts, payload } of packetsOf(stretch)) {
      if (pid === 0 && starts) for (const map of mapsOf(payload)) maps.add(map);
      else if (maps.has(pid) && starts) readMap(payload, records, pictures);
      else if (pictures.has(pid) && starts) {
        const ticks = readUnit(payload)?.ticks;
        if (ticks !== undefined && (pictureTicks === undefined || ticks < pictureTicks)) pictureTicks = ticks;
      } else if (records.has(pid)) {
        if (starts) {
          close(pid);
          open.set(pid, { parts: [], length: 0 });
        }
        const unit = open.get(pid);
        if (unit === undefined || unit.length + payload.length > mostUnitBytes) continue;
        unit.parts.push(payload);
        unit.length += payload.length;
      }
    }
    for (const pid of Array.from(open.keys())) close(pid);
  }
  return { units, pictureTicks };
}

interface Packet {
  readonly pid: number;
  readonly starts: boolean;
  readonly payload: Uint8Array;
}

/** Packets of 188 bytes, or of 192 with four bytes of arrival time before each; resumes at the next three sync bytes. */
function* packetsOf(bytes: Uint8Array): Generator<Packet> {
  let at = -1;
  let stride = packetBytes;
  for (let place = 0; place + packetBytes <= bytes.length;) {
    if (bytes[place] !== syncByte || at < 0) {
      const found = firstSync(bytes, place);
      if (found === undefined) return;
      ({ at, stride } = found);
      place = at;
    }
    const control = bytes[place + 3] as number;
    const adaptation = (control & 0x20) === 0 ? 0 : 1 + (bytes[place + 4] as number);
    const from = place + 4 + adaptation;
    const pid = (((bytes[place + 1] as number) & 0x1f) << 8) | (bytes[place + 2] as number);
    if ((control & 0x10) !== 0 && from < place + packetBytes) {
      yield {
        pid,
        starts: ((bytes[place + 1] as number) & 0x40) !== 0,
        payload: bytes.subarray(from, place + packetBytes),
      };
    }
    place += stride;
  }
}

function firstSync(bytes: Uint8Array, from: number): { at: number; stride: number } | undefined {
  for (let at = from; at + packetBytes <= bytes.length; at += 1) {
    if (bytes[at] !== syncByte) continue;
    for (const stride of [packetBytes, packetBytes + 4]) {
      const second = at + stride;
      const third = second + stride;
      const lastFits = third >= bytes.length || bytes[third] === syncByte;
      if ((second >= bytes.length || bytes[second] === syncByte) && lastFits) return { at, stride };
    }
  }
  return undefined;
}

/** The section of a table, behind its pointer, without the checksum; empty when it does not fit. */
function sectionOf(payload: Uint8Array, table: number): Uint8Array {
  const from = 1 + (payload[0] ?? 0);
  if (payload[from] !== table || from + 3 > payload.length) return new Uint8Array(0);
  const length = (((payload[from + 1] as number) & 0x0f) << 8) | (payload[from + 2] as number);
  return payload.subarray(from, Math.min(payload.length, from + 3 + Math.max(0, length - 4)));
}

function mapsOf(payload: Uint8Array): readonly number[] {
  const section = sectionOf(payload, 0);
  const maps: number[] = [];
  for (let at = 8; at + 4 <= section.length; at += 4) {
    const program = ((section[at] as number) << 8) | (section[at + 1] as number);
    if (program !== 0) maps.push((((section[at + 2] as number) & 0x1f) << 8) | (section[at + 3] as number));
  }
  return maps;
}

/** Stream types of pictures: MPEG-2, MPEG-4, H.264, H.265 (ISO/IEC 13818-1, table 2-34). */
const pictureTypes = new Set([0x01, 0x02, 0x10, 0x1b, 0x24]);
/** Private data, and metadata in units. */
const recordTypes = new Set([0x06, 0x15]);

function readMap(payload: Uint8Array, records: Set<number>, pictures: Set<number>): void {
  const section = sectionOf(payload, 2);
  if (section.length < 12) return;
  let at = 12 + ((((section[10] as number) & 0x0f) << 8) | (section[11] as number));
  while (at + 5 <= section.length) {
    const type = section[at] as number;
    const pid = (((section[at + 1] as number) & 0x1f) << 8) | (section[at + 2] as number);
    if (recordTypes.has(type)) records.add(pid);
    if (pictureTypes.has(type)) pictures.add(pid);
    at += 5 + ((((section[at + 3] as number) & 0x0f) << 8) | (section[at + 4] as number));
  }
}

/** Takes the header off a packetised unit (ISO/IEC 13818-1, section 2.4.3.6). */
function readUnit(bytes: Uint8Array): StreamUnit | undefined {
  if (bytes.length < 9 || bytes[0] !== 0 || bytes[1] !== 0 || bytes[2] !== 1) return undefined;
  const length = ((bytes[4] as number) << 8) | (bytes[5] as number);
  const from = 9 + (bytes[8] as number);
  const end = length === 0 ? bytes.length : Math.min(bytes.length, 6 + length);
  if (from > end) return undefined;
  return {
    payload: bytes.subarray(from, end),
    ticks: ((bytes[7] as number) & 0x80) === 0 ? undefined : ticksAt(bytes, 9),
  };
}

/** A 33-bit time in five bytes with marker bits. */
function ticksAt(bytes: Uint8Array, at: number): number | undefined {
  if (at + 5 > bytes.length) return undefined;
  const [a = 0, b = 0, c = 0, d = 0, e = 0] = bytes.subarray(at, at + 5);
  return ((a >> 1) & 7) * 2 ** 30 + (b << 22) + ((c >> 1) << 15) + (d << 7) + (e >> 1);
}
