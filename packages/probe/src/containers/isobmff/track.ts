import { type Box, type Bytes, code, codeName, eachBox, type Fault, isFault, type Table, tableOf } from "./boxes.ts";
import { type Edit, editsAreSane, readEditList } from "./edit-list.ts";
import { durationField, identity, readMatrix } from "./header-fields.ts";
import type { SampleTable, SizeTable } from "./sample-table.ts";

/** One track of the movie. */
export interface Track {
  readonly id: number;
  readonly place: string;
  readonly enabled: boolean;
  /** Length in movie ticks as the track header states it. */
  readonly headerTicks?: number;
  readonly matrix: readonly number[];
  readonly timescale: number;
  /** Length in media ticks as the media header states it. */
  readonly mediaTicks?: number;
  readonly handler: string;
  readonly edits: readonly Edit[];
  /** The first sample description and how many there are. */
  readonly entry?: Box;
  readonly entries: number;
  /** Track numbers by kind of reference: `chap`, `tmcd`. */
  readonly references: ReadonlyMap<string, readonly number[]>;
  readonly samples?: SampleTable;
  readonly userData?: Box;
  readonly faults: readonly Fault[];
}

/** References kept of one kind. */
const mostReferences = 64;

interface Parts {
  id: number;
  enabled: boolean;
  headerTicks?: number;
  matrix: readonly number[];
  timescale: number;
  mediaTicks?: number;
  handler: string;
  edits: readonly Edit[];
  entry?: Box;
  entries: number;
  references: Map<string, readonly number[]>;
  userData?: Box;
  tables: Map<number, Table>;
  sizes?: SizeTable;
}

/** Reads one `trak` box. What breaks becomes a fault, and what depends on it stays away. */
export function readTrack(bytes: Bytes, box: Box, place: string): Track {
  const { view } = bytes;
  const faults: Fault[] = [];
  const parts: Parts = {
    id: 0,
    enabled: false,
    matrix: identity,
    timescale: 0,
    handler: "",
    edits: [],
    entries: 0,
    references: new Map(),
    tables: new Map(),
  };
  const note = (fault: Fault | undefined): void => {
    if (fault !== undefined) faults.push(fault);
  };
  const short = (child: Box, name: string): Fault => ({
    at: bytes.base + child.start,
    place: `${place}/${name}`,
    why: "the box is too short",
  });
  const walk = (parent: Box, at: string, visit: (child: Box, name: string) => void): void =>
    note(eachBox(bytes, parent.body, parent.end, at, (child) => visit(child, codeName(child.type))));

  walk(box, place, (child, name) => {
    if (name === "tkhd") note(readTrackHeader(bytes, child, parts) ? undefined : short(child, name));
    else if (name === "edts") walk(child, `${place}/edts`, readEdits);
    else if (name === "tref") walk(child, `${place}/tref`, readReference);
    else if (name === "udta") parts.userData = child;
    else if (name === "mdia") walk(child, `${place}/mdia`, readMedia);
  });

  function readEdits(child: Box, name: string): void {
    if (name !== "elst") return;
    const edits = readEditList(bytes, child.body, child.end);
    if (edits !== undefined && editsAreSane(edits)) parts.edits = edits;
    else note({ at: bytes.base + child.start, place: `${place}/edts/elst`, why: "the edit list breaks its grammar" });
  }
  function readReference(child: Box, name: string): void {
    const ids: number[] = [];
    for (let at = child.body; at + 4 <= child.end && ids.length < mostReferences; at += 4) ids.push(view.getUint32(at));
    parts.references.set(name, ids);
  }
  function readMedia(child: Box, name: string): void {
    if (name === "mdhd") {
      if (!readMediaHeader(bytes, child, parts)) note(short(child, "mdia/mdhd"));
    } else if (name === "hdlr" && child.end - child.body >= 12) {
      parts.handler = codeName(view.getUint32(child.body + 8));
    } else if (name === "minf") {
      walk(child, `${place}/mdia/minf`, (inner, innerName) => {
        if (innerName === "stbl") walk(inner, `${place}/mdia/minf/stbl`, readTable);
      });
    }
  }
  function readTable(child: Box, name: string): void {
    const at = `${place}/mdia/minf/stbl/${name}`;
    if (name === "stsd") {
      const count = tableOf(bytes, child, 8, at);
      if (isFault(count)) return note(count);
      note(
        eachBox(bytes, count.at, child.end, at, (entry) => {
          parts.entry ??= entry;
          parts.entries += 1;
        }),
      );
    } else if (name === "stsz" || name === "stz2") {
      const sizes = readSizes(bytes, child, name, at);
      if (isFault(sizes)) return note(sizes);
      parts.sizes = sizes;
    } else {
      const entryBytes = tableEntryBytes[name];
      if (entryBytes === undefined) return;
      const table = tableOf(bytes, child, entryBytes, at);
      if (isFault(table)) return note(table);
      parts.tables.set(child.type, table);
    }
  }
  const samples = sampleTable(bytes, parts);
  const { tables: _tables, sizes: _sizes, ...rest } = parts;
  return { ...rest, place, faults, ...(samples === undefined ? {} : { samples }) };
}

/** Bytes of one entry of the plain tables. */
const tableEntryBytes: Readonly<Record<string, number>> = { stts: 8, ctts: 8, stss: 4, stsc: 12, stco: 4, co64: 8 };

const durations = code("stts");
const offsets = code("ctts");
const syncs = code("stss");
const chunkRuns = code("stsc");
const wideChunks = code("co64");
const chunks = code("stco");

function sampleTable(bytes: Bytes, parts: Parts): SampleTable | undefined {
  const { tables, sizes } = parts;
  const stts = tables.get(durations);
  const runs = tables.get(chunkRuns);
  const far = tables.get(wideChunks);
  const places = far ?? tables.get(chunks);
  if (stts === undefined || runs === undefined || places === undefined || sizes === undefined) return undefined;
  const ctts = tables.get(offsets);
  const stss = tables.get(syncs);
  return {
    bytes,
    sizes,
    chunkRuns: runs,
    chunks: places,
    wideOffsets: far !== undefined,
    stts,
    ...(ctts === undefined ? {} : { ctts }),
    ...(stss === undefined ? {} : { stss }),
  };
}

/** `stsz` and `stz2` (ISO/IEC 14496-12, section 8.7.3). */
function readSizes(bytes: Bytes, box: Box, name: string, place: string): SizeTable | Fault {
  const { view } = bytes;
  const room = box.end - box.body - 12;
  if (room < 0) return { at: bytes.base + box.start, place, why: "the box is too short" };
  const count = view.getUint32(box.body + 8);
  const compact = name === "stz2";
  const bits = compact ? view.getUint8(box.body + 7) : 32;
  const uniform = compact ? 0 : view.getUint32(box.body + 4);
  if (![4, 8, 16, 32].includes(bits)) return { at: bytes.base + box.body + 4, place, why: `${bits} bits a size` };
  if (uniform === 0 && Math.ceil((count * bits) / 8) > room) {
    return { at: bytes.base + box.body + 8, place, why: `${count} sizes are announced, the box has ${room} bytes` };
  }
  return { count, uniform, at: box.body + 12, bits };
}

/** `tkhd` (ISO/IEC 14496-12, section 8.3.2); false when it is too short. */
function readTrackHeader(bytes: Bytes, box: Box, parts: Parts): boolean {
  const { view } = bytes;
  const long = box.end - box.body > 0 && view.getUint8(box.body) === 1;
  if (box.end - box.body < (long ? 96 : 84)) return false;
  const at = box.body + 4 + (long ? 16 : 8);
  parts.enabled = (view.getUint8(box.body + 3) & 1) === 1;
  parts.id = view.getUint32(at);
  const duration = durationField(view, at + 8, long);
  if (duration !== undefined) parts.headerTicks = duration;
  parts.matrix = readMatrix(view, at + (long ? 16 : 12) + 16);
  return true;
}

/** `mdhd` (ISO/IEC 14496-12, section 8.4.2); false when it is too short. */
function readMediaHeader(bytes: Bytes, box: Box, parts: Parts): boolean {
  const { view } = bytes;
  const long = box.end - box.body > 0 && view.getUint8(box.body) === 1;
  if (box.end - box.body < (long ? 36 : 24)) return false;
  const at = box.body + 4 + (long ? 16 : 8);
  parts.timescale = view.getUint32(at);
  const duration = durationField(view, at + 4, long);
  if (duration !== undefined) parts.mediaTicks = duration;
  return true;
}
