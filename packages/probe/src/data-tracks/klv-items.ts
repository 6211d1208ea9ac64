/** Depth of nests that is followed; real files use three. */
const mostDepth = 8;
/** Values read of one item; a second of audio-rate data has more, and none of it is a setting. */
const mostValues = 4096;

/** One item of four-character KLV. */
export interface KlvItem {
  readonly key: string;
  /** One character; `?` for a structure whose type stands in the scope. */
  readonly type: string;
  readonly size: number;
  readonly repeat: number;
  readonly payload: Uint8Array;
}

/** What items earlier in the same nest say about later ones. */
export interface KlvScope {
  /** Divisors for the next item: one, or one for each element. */
  readonly scale: readonly number[];
  /** Types of the elements of a `?` item. */
  readonly structure: string;
  /** Kind of satellite fix, 0 for none. */
  readonly fix?: number;
}

/**
 * Visits every item that is not a nest. False when an item is longer than what holds it; nothing after that is visited.
 */
export function eachItem(bytes: Uint8Array, visit: (item: KlvItem, scope: KlvScope) => void, depth = 0): boolean {
  if (depth > mostDepth) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let scope: KlvScope = { scale: [1], structure: "" };
  let at = 0;
  while (at + 8 <= bytes.length) {
    const code = view.getUint32(at);
    // Zeros pad the end of a sample.
    if (code === 0) break;
    const typeCode = view.getUint8(at + 4);
    const size = view.getUint8(at + 5);
    const repeat = view.getUint16(at + 6);
    const length = size * repeat;
    const payloadFrom = at + 8;
    if (payloadFrom + length > bytes.length) return false;
    const payload = bytes.subarray(payloadFrom, payloadFrom + length);
    const key = String.fromCharCode(...bytes.subarray(at, at + 4));
    if (typeCode === 0) {
      if (!eachItem(payload, visit, depth + 1)) return false;
    } else {
      const item: KlvItem = { key, type: String.fromCharCode(typeCode), size, repeat, payload };
      if (key === "SCAL") scope = { ...scope, scale: numbersOf(item, plain)?.flat() ?? [1] };
      else if (key === "TYPE") scope = { ...scope, structure: textOf(item) };
      else if (key === "GPSF") scope = { ...scope, fix: numbersOf(item, plain)?.[0]?.[0] ?? 0 };
      visit(item, scope);
      // Divisors speak for the next item of data only.
      if (!describing.has(key)) scope = { ...scope, scale: [1] };
    }
    at = payloadFrom + Math.ceil(length / 4) * 4;
  }
  return at >= bytes.length || bytes.length - at < 8 || view.getUint32(at) === 0;
}

const plain: KlvScope = { scale: [1], structure: "" };
const describing = new Set(["SCAL", "TYPE", "STNM", "TSMP", "SIUN", "UNIT", "STMP", "GPSF", "GPSP", "GPSU"]);

/** Text of an item, padding zeros left off. */
export const textOf = (item: KlvItem): string =>
  Buffer.from(item.payload).toString("latin1").replaceAll("\0", " ").trim();

const widths: Readonly<Record<string, number>> = {
  b: 1,
  B: 1,
  s: 2,
  S: 2,
  l: 4,
  L: 4,
  f: 4,
  q: 4,
  j: 8,
  J: 8,
  d: 8,
  Q: 8,
};

/**
 * The numbers of an item, one row for each repeat, divided by the scale in force. Undefined for types without numbers
 * and for sizes the type does not divide. At most 4096 numbers are read.
 */
export function numbersOf(item: KlvItem, scope: KlvScope): readonly (readonly number[])[] | undefined {
  const single = widths[item.type];
  const types =
    item.type === "?"
      ? [...scope.structure]
      : single === undefined
        ? []
        : Array.from({ length: Math.floor(item.size / single) }, () => item.type);
  const width = types.reduce((sum, type) => sum + (widths[type] ?? Number.NaN), 0);
  if (types.length === 0 || width !== item.size) return undefined;
  const view = new DataView(item.payload.buffer, item.payload.byteOffset, item.payload.byteLength);
  const rows: number[][] = [];
  let at = 0;
  for (let repeat = 0; repeat < item.repeat && (repeat + 1) * types.length <= mostValues; repeat += 1) {
    const row: number[] = [];
    for (const [element, type] of types.entries()) {
      const divisor = (scope.scale.length === 1 ? scope.scale[0] : scope.scale[element]) ?? 1;
      row.push(readOne(view, at, type) / (divisor === 0 ? Number.NaN : divisor));
      at += widths[type] ?? 0;
    }
    rows.push(row);
  }
  return rows;
}

function readOne(view: DataView, at: number, type: string): number {
  switch (type) {
    case "b":
      return view.getInt8(at);
    case "B":
      return view.getUint8(at);
    case "s":
      return view.getInt16(at);
    case "S":
      return view.getUint16(at);
    case "l":
      return view.getInt32(at);
    case "L":
      return view.getUint32(at);
    case "f":
      return view.getFloat32(at);
    case "q":
      return view.getInt32(at) / 65_536;
    case "j":
      return Number(view.getBigInt64(at));
    case "J":
      return Number(view.getBigUint64(at));
    case "d":
      return view.getFloat64(at);
    default:
      return Number(view.getBigInt64(at)) / 2 ** 32;
  }
}
