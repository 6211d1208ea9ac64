import type { ExtraTrackSource, TimedSample } from "../contracts.ts";

/** Makes tracks for tests: samples of equal length, read from memory, with a count of the bytes given out. */
export function madeTrack(
  entry: string,
  samples: readonly Uint8Array[],
  options: {
    readonly sampleMicroseconds?: number;
    readonly handler?: string;
    readonly entryBytes?: Uint8Array;
    readonly isChapterList?: boolean;
  } = {},
): ExtraTrackSource & { readonly given: { bytes: number } } {
  const {
    sampleMicroseconds = 40_000,
    handler = "meta",
    entryBytes = new Uint8Array(8),
    isChapterList = false,
  } = options;
  const given = { bytes: 0 };
  const timed = samples.map((bytes, place): TimedSample => ({
    bytes,
    startMicroseconds: place * sampleMicroseconds,
    durationMicroseconds: sampleMicroseconds,
  }));
  return {
    id: 3,
    entry,
    handler,
    entryBytes,
    sampleCount: samples.length,
    totalBytes: samples.reduce((sum, { length }) => sum + length, 0),
    isChapterList,
    given,
    read(which) {
      const chosen = which === undefined ? timed : which.flatMap((place) => timed[place] ?? []);
      for (const { bytes } of chosen) given.bytes += bytes.length;
      return Promise.resolve(chosen);
    },
  };
}

/** A timed-text sample: length, text, and a style box behind it. */
export function madeTextSample(text: string, tail = "\0\0\0\x0estyl\0\0\0\0\0\0"): Uint8Array {
  const bytes = Buffer.from(text);
  return Buffer.concat([Buffer.of(bytes.length >> 8, bytes.length & 255), bytes, Buffer.from(tail, "latin1")]);
}

/** A box of a 32-bit size and a four-character name. */
export function madeBox(name: string | number, ...content: readonly Uint8Array[]): Uint8Array {
  const body = Buffer.concat(content);
  const header = Buffer.alloc(8);
  header.writeUInt32BE(8 + body.length);
  if (typeof name === "number") header.writeUInt32BE(name, 4);
  else header.write(name, 4, "latin1");
  return Buffer.concat([header, body]);
}
