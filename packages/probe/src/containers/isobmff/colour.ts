/** A box that tells the colours of the picture (`colr`); ICC profiles are not read. */
export interface ColourBox {
  readonly primaries: number;
  readonly transfer: number;
  readonly matrix: number;
  /** Absent in the QuickTime form, which has no range bit. */
  readonly fullRange?: boolean;
}

/** The code point that means "not stated" in all three tables. */
export const unspecified = 2;

/** Names of colour primaries as ffprobe prints them (ITU-T H.273, table 2). */
export const primariesNames: Readonly<Record<number, string>> = {
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

/** Names of transfer characteristics as ffprobe prints them (ITU-T H.273, table 3). */
export const transferNames: Readonly<Record<number, string>> = {
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

/** Names of matrix coefficients as ffprobe prints them (ITU-T H.273, table 4). */
export const matrixNames: Readonly<Record<number, string>> = {
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
