/** Light of a signal, both 0 to 1 of their range; what PQ's 1 means does not matter where ratios are asked. */
export type LightOf = (signal: number) => number;

/** ITU-R BT.709 item 1.2, turned round; BT.2020 has the same curve, more exactly stated. */
const bt709: LightOf = (v) => (v < 0.081 ? v / 4.5 : ((v + 0.099) / 1.099) ** (1 / 0.45));

/** IEC 61966-2-1. */
const srgb: LightOf = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);

/** ITU-R BT.2100 table 4: PQ. */
const pq: LightOf = (v) => {
  const root = Math.max(0, v) ** (32 / 2523);
  return (Math.max(0, root - 3424 / 4096) / (2413 / 128 - (2392 / 128) * root)) ** (16384 / 2610);
};

/** ITU-R BT.2100 table 5: HLG. */
const hlg: LightOf = (v) => {
  const [a, b] = [0.17883277, 0.28466892];
  const c = 0.5 - a * Math.log(4 * a);
  return v <= 0.5 ? (v * v) / 3 : (Math.exp((v - c) / a) + b) / 12;
};

const curves: Readonly<Record<string, LightOf>> = {
  bt709,
  smpte170m: bt709,
  "bt2020-10": bt709,
  "bt2020-12": bt709,
  "iec61966-2-1": srgb,
  smpte2084: pq,
  "arib-std-b67": hlg,
  linear: (v) => v,
};

/** The curve from signal to light of a transfer, named as ITU-T H.273's are by ffmpeg; undefined for one not known. */
export const lightOf = (transfer: string | undefined): LightOf | undefined =>
  transfer === undefined ? undefined : curves[transfer];
