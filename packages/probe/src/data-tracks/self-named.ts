import type { ExtraTrackSource } from "../contracts.ts";

/** Bytes of a sample entry before its own fields. */
const entryHeader = 8;

/**
 * The name a track of unknown vocabulary gives itself: the MIME type of `mett`, namespace and schema of `metx`, the URI of
 * `urim` (ISO/IEC 14496-12, section 12.3). Undefined for other entries.
 */
export function ownName(track: Pick<ExtraTrackSource, "entry" | "entryBytes">): string | undefined {
  const bytes = track.entryBytes.subarray(entryHeader);
  if (track.entry === "mett" || track.entry === "metx") {
    // Content encoding comes first and is mostly empty.
    return (
      strings(bytes, 3)
        .filter((text) => text !== "")
        .join(" ") || undefined
    );
  }
  if (track.entry !== "urim") return undefined;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let at = 0; at + 12 <= bytes.length;) {
    const size = view.getUint32(at);
    if (size < 8 || at + size > bytes.length) return undefined;
    if (String.fromCharCode(...bytes.subarray(at + 4, at + 8)) === "uri ")
      return strings(bytes.subarray(at + 12, at + size), 1)[0];
    at += size;
  }
  return undefined;
}

/** Longest name that is kept. */
const mostCharacters = 200;

function strings(bytes: Uint8Array, most: number): readonly string[] {
  const text = Buffer.from(bytes.subarray(0, mostCharacters)).toString("latin1");
  return text
    .split("\0")
    .slice(0, most)
    .map((part) => part.replaceAll(/[^\x20-\x7e]/g, "").trim());
}
