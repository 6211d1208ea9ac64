// Formulas of the comments in ffmpeg's libavutil/pixfmt.h, and of ITU-R BT.2100 as the colour-science and colorjs.io
// libraries document them.

/** The code that stands for a brightness signal of 0 to 1 in the narrow (video) range: (219·E + 16)·2^(n−8). */
export const narrowLumaCode = (signal: number, bitDepth: number): number =>
  Math.round((219 * signal + 16) * 2 ** (bitDepth - 8));

/** The code of a colour difference of −0.5 to 0.5 in the narrow range: (224·E + 128)·2^(n−8). */
export const narrowChromaCode = (signal: number, bitDepth: number): number =>
  Math.round((224 * signal + 128) * 2 ** (bitDepth - 8));

/** The code of a signal of 0 to 1 in the full range: (2^n − 1)·E. */
export const fullRangeCode = (signal: number, bitDepth: number): number => Math.round((2 ** bitDepth - 1) * signal);

/** The brightness signal of a code in the narrow range; below 0 and above 1 for codes outside black and peak. */
export const narrowLumaSignal = (code: number, bitDepth: number): number => (code / 2 ** (bitDepth - 8) - 16) / 219;

const m1 = 2610 / 16384;
const m2 = 2523 / 32;
const c1 = 3424 / 4096;
const c2 = 2413 / 128;
const c3 = 2392 / 128;

/** The constants of PQ (SMPTE ST 2084). */
export const pqConstants = { m1, m2, c1, c2, c3 } as const;

/** The PQ signal, 0 to 1, of a luminance in cd/m² up to 10 000 (SMPTE ST 2084, inverse EOTF). */
export function pqSignal(candelasPerSquareMetre: number): number {
  const power = (Math.max(0, candelasPerSquareMetre) / 10_000) ** m1;
  return ((c1 + c2 * power) / (1 + c3 * power)) ** m2;
}

/** The luminance in cd/m² of a PQ signal of 0 to 1 (SMPTE ST 2084, EOTF). */
export function pqLuminance(signal: number): number {
  const power = Math.max(0, signal) ** (1 / m2);
  return 10_000 * (Math.max(0, power - c1) / (c2 - c3 * power)) ** (1 / m1);
}

const a = 0.17883277;
const b = 0.28466892;
const c = 0.55991073;

/** The HLG signal, 0 to 1, of a scene light of 0 to 1 (ITU-R BT.2100, OETF). */
export const hlgSignal = (scene: number): number =>
  scene <= 1 / 12 ? Math.sqrt(3 * Math.max(0, scene)) : a * Math.log(12 * scene - b) + c;

/** The scene light of an HLG signal (ITU-R BT.2100, inverse OETF). */
export const hlgScene = (signal: number): number =>
  signal <= 0.5 ? signal ** 2 / 3 : (Math.exp((signal - c) / a) + b) / 12;

/** The luminance of a grey of scene light 0 to 1 on an HLG display of 1000 cd/m²: 1000·E^1.2 (BT.2100, OOTF). */
export const hlgDisplayLuminance = (scene: number): number => 1000 * scene ** 1.2;
