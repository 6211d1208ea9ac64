/** The code point that says a clip's maker states nothing, in all three tables. */
export const unspecifiedColour = 2;

const primaries: Readonly<Record<number, string>> = {
  1: "bt709",
  4: "bt470m",
  5: "bt470bg",
  6: "smpte170m",
  7: "smpte240m",
  8: "film",
  9: "bt2020",
  10: "smpte428",
  11: "smpte431",
  12: "smpte432",
  22: "ebu3213",
};

const transfers: Readonly<Record<number, string>> = {
  1: "bt709",
  4: "bt470m",
  5: "bt470bg",
  6: "smpte170m",
  7: "smpte240m",
  8: "linear",
  9: "log100",
  10: "log316",
  11: "iec61966-2-4",
  12: "bt1361e",
  13: "iec61966-2-1",
  14: "bt2020-10",
  15: "bt2020-12",
  16: "smpte2084",
  17: "smpte428",
  18: "arib-std-b67",
};

const matrices: Readonly<Record<number, string>> = {
  0: "gbr",
  1: "bt709",
  4: "fcc",
  5: "bt470bg",
  6: "smpte170m",
  7: "smpte240m",
  8: "ycgco",
  9: "bt2020nc",
  10: "bt2020c",
  11: "smpte2085",
  12: "chroma-derived-nc",
  13: "chroma-derived-c",
  14: "ictcp",
};

/**
 * The name of a colour primaries code of ITU-T H.273 (colr box, sequence header), as ffmpeg prints it: `bt709`,
 * `bt2020`. Every code from 0 to 23 was compared with what ffprobe 5.1.9 prints for a stream that carries it. Undefined for 2 (unspecified), for reserved codes and for codes this table does not know.
 */
export const primariesName = (code: number): string | undefined => primaries[code];

/** The name of a transfer code of ITU-T H.273, as ffmpeg prints it: `smpte2084` is PQ, `arib-std-b67` is HLG. */
export const transferName = (code: number): string | undefined => transfers[code];

/** The name of a matrix code of ITU-T H.273, as ffmpeg prints it; 0 (no matrix, RGB) is `gbr`. */
export const matrixName = (code: number): string | undefined => matrices[code];

/** Whether a transfer name is one of the two HDR ones, PQ or HLG (ITU-R BT.2100). */
export const isHdrTransfer = (name: string): boolean => name === "smpte2084" || name === "arib-std-b67";
