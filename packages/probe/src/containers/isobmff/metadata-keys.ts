import { type Bytes, type Box, code, codeName, eachBox, type Fault, isFault, tableOf, wide } from "./boxes.ts";

/** One piece of metadata with its key. */
export interface MetadataItem {
  /** A key of the `mdta` form (`com.…`), or a four-character code such as `©xyz`. */
  readonly key: string;
  readonly text: string;
  /** Set when the file stores a number. */
  readonly number?: number;
  readonly place: string;
}

/** Items kept of one file and characters kept of one text: cameras write a dozen of some ten characters. */
const mostItems = 256;
const mostCharacters = 4096;

const decoder = new TextDecoder("utf-8");
const strict = new TextDecoder("utf-8", { fatal: true });
const latin = new TextDecoder("latin1");

/** Bytes as text: UTF-8 where it is that, else Latin-1; trailing zeros cut, bounded in length. */
export function textOf(bytes: Uint8Array): string {
  let end = Math.min(bytes.length, mostCharacters);
  while (end > 0 && bytes[end - 1] === 0) end -= 1;
  const body = bytes.subarray(0, end);
  try {
    return strict.decode(body);
  } catch {
    // A text cut at the bound may end inside a character; only a shorter one can be of another encoding.
    return bytes.length > mostCharacters ? decoder.decode(body) : latin.decode(body);
  }
}

const metaHandler = code("hdlr");
const metaKeys = code("keys");
const metaItems = code("ilst");
const dataBox = code("data");

/**
 * Reads a `meta` box: keys paired with the items that name them by number (QuickTime file format, "Metadata"), or items
 * that are their own keys. The QuickTime form has no version field; which form it is shows in where `hdlr` stands.
 */
export function readMeta(
  bytes: Bytes,
  body: number,
  end: number,
  place: string,
  into: MetadataItem[],
): Fault | undefined {
  const { view } = bytes;
  const plain = end - body >= 8 && view.getUint32(body + 4) === metaHandler;
  const keys: string[] = [];
  let items: Box | undefined;
  let fault: Fault | undefined;
  const broken = eachBox(bytes, plain ? body : body + 4, end, place, (box) => {
    if (box.type === metaItems) items = box;
    if (box.type !== metaKeys) return;
    const table = tableOf(bytes, box, 8, `${place}/keys`);
    if (isFault(table)) {
      fault = table;
      return;
    }
    fault ??= eachBox(bytes, table.at, box.end, `${place}/keys`, (key) => {
      if (keys.length < mostItems) keys.push(textOf(bytes.array.subarray(key.body, key.end)));
    });
  });
  if (items !== undefined) {
    fault ??= eachBox(bytes, items.body, items.end, `${place}/ilst`, (item) => {
      const key = item.type <= mostItems ? keys[item.type - 1] : codeName(item.type);
      if (key === undefined || into.length >= mostItems) return;
      eachBox(bytes, item.body, item.end, `${place}/ilst`, (box) => {
        if (box.type !== dataBox || box.end - box.body < 8) return;
        const value = typedValue(bytes, view.getUint32(box.body) & 0xffffff, box.body + 8, box.end);
        if (value !== undefined) into.push({ key, ...value, place: `${place}/ilst[${key}]` });
      });
    });
  }
  return broken ?? fault;
}

/** A value by its well-known type (QuickTime file format, "Well-known types"); undefined for pictures and raw bytes. */
function typedValue(
  bytes: Bytes,
  type: number,
  from: number,
  to: number,
): { text: string; number?: number } | undefined {
  const { view } = bytes;
  const size = to - from;
  if (type === 1) return { text: textOf(bytes.array.subarray(from, to)) };
  const number = numberOf(view, type, from, size);
  return number === undefined ? undefined : { text: String(number), number };
}

function numberOf(view: DataView, type: number, at: number, size: number): number | undefined {
  switch (type) {
    case 23:
      return size === 4 ? view.getFloat32(at) : size === 8 ? view.getFloat64(at) : undefined;
    case 24:
      return size === 8 ? view.getFloat64(at) : size === 4 ? view.getFloat32(at) : undefined;
    case 21:
    case 65:
    case 66:
    case 67:
    case 74:
      return wholeNumber(view, at, size, true);
    case 22:
    case 75:
    case 76:
    case 77:
    case 78:
      return wholeNumber(view, at, size, false);
    default:
      return undefined;
  }
}

function wholeNumber(view: DataView, at: number, size: number, signed: boolean): number | undefined {
  switch (size) {
    case 1:
      return signed ? view.getInt8(at) : view.getUint8(at);
    case 2:
      return signed ? view.getInt16(at) : view.getUint16(at);
    case 3:
      return (signed ? view.getInt8(at) : view.getUint8(at)) * 65536 + view.getUint16(at + 1);
    case 4:
      return signed ? view.getInt32(at) : view.getUint32(at);
    case 8:
      return signed ? view.getInt32(at) * 4294967296 + view.getUint32(at + 4) : wide(view, at);
    default:
      return undefined;
  }
}

/** The first byte of four-character codes that begin with a copyright sign: international text. */
const copyrightSign = 0xa9;

/**
 * Reads user data (`udta`): text items whose code begins with `©`, each a list of length, language and text
 * (QuickTime file format, "User data text strings"), and a `meta` box inside. Everything else is left alone.
 */
export function readUserData(
  bytes: Bytes,
  body: number,
  end: number,
  place: string,
  into: MetadataItem[],
  packet: (xmp: Uint8Array) => void,
): Fault | undefined {
  const { view } = bytes;
  let fault: Fault | undefined;
  const broken = eachBox(bytes, body, end, place, (box) => {
    if (box.type === code("meta")) fault ??= readMeta(bytes, box.body, box.end, `${place}/meta`, into);
    if (box.type === code("XMP_")) packet(bytes.array.subarray(box.body, box.end));
    if (box.type >>> 24 !== copyrightSign || box.end - box.body < 4 || into.length >= mostItems) return;
    const size = view.getUint16(box.body);
    const name = codeName(box.type);
    if (size > box.end - box.body - 4) {
      fault ??= {
        at: bytes.base + box.body,
        place: `${place}/${name}`,
        why: `a text of ${size} bytes does not fit its box`,
      };
      return;
    }
    into.push({
      key: name,
      text: textOf(bytes.array.subarray(box.body + 4, box.body + 4 + size)),
      place: `${place}/${name}`,
    });
  });
  return broken ?? fault;
}
