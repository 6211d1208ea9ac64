// AssemblyScript, part of picture-kernel.ts: how a frame lies in memory; src/frame-layout.ts says what it holds.

/** Samples from one row to the next. */
export const pieceWidth: i32 = 512;
/** Width of either small picture. */
export const smallWidth: i32 = 256;
