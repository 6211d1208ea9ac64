// AssemblyScript, compiled by scripts/write-kernel.ts into src/picture-kernel-code.ts: the loops over pixels and terms of spectra. As
// WebAssembly they are fast from the first picture on; as JavaScript a clip was over before the engine had compiled them.

export { blurEvidence } from "./blur-fit";
export { meanGain } from "./blur-cells";
export { found, motion } from "./motion";
export { transform, transformLine } from "./fourier";
export { skyEdges } from "./horizon";
export { blocks, smaller } from "./piece";
export { changed, countCodes, detail, differences, mix, rowSums, shrink, sums } from "./small-picture";
export { addTerms, lineShare, meanPower, soughtTerms } from "./spectrum";

/** Memory from here on is given out by src/picture-kernel.ts. */
export const freeFrom: usize = __heap_base;
