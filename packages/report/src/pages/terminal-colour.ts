import type { ClipReport } from "../schema.ts";

/** Puts colour round a text that is already cut and padded; without colour it gives the text back. */
export interface Paint {
  readonly bold: (text: string) => string;
  readonly dim: (text: string) => string;
  readonly verdict: (verdict: ClipReport["verdict"], text: string) => string;
}

/** Colours of ECMA-48 that every terminal has; the verdict's word stands beside them always. */
const codes: Readonly<Record<ClipReport["verdict"], number>> = { reshoot: 31, unknown: 35, workable: 33, clean: 32 };

const plain = (text: string): string => text;

const inColour = (code: number, text: string): string => `\u001B[${code}m${text}\u001B[0m`;

/** Colour, or none. */
export function paint(colour: boolean): Paint {
  if (!colour) return { bold: plain, dim: plain, verdict: (_, text) => text };
  return {
    bold: (text) => inColour(1, text),
    dim: (text) => inColour(2, text),
    verdict: (verdict, text) => inColour(codes[verdict], text),
  };
}
