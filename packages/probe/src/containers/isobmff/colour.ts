/** A box that tells the colours of the picture (`colr`); ICC profiles are not read. */
export interface ColourBox {
  readonly primaries: number;
  readonly transfer: number;
  readonly matrix: number;
  /** Absent in the QuickTime form, which has no range bit. */
  readonly fullRange?: boolean;
}
