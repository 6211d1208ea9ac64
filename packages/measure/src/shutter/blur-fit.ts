import { bandEdges, bands, bins, type BlurSpectrum, comparedEdges } from "./blur-spectrum.ts";

/** Shutter angles that are tried, in degrees. */
export const triedDegrees: readonly number[] = Array.from({ length: 74 }, (_, i) => i * 5 + 10);

/**
 * Share of the cells of a spectrum that speak independently: neighbours overlap through the fading at the edges, bands
 * share their edges in the picture.
 */
const independence = 0.25;

/**
 * Ends of the parts of the spectrum (cycles per pixel) whose misfit is judged each by itself: zeros of long blur lie low,
 * and what coding does to the rest must not drown them.
 */
const partEnds = [0.07, 0.18, 0.5] as const;
const parts = partEnds.length;

const unknowns = 5;
/** Terms a cell counts for at most: beyond, texture's own structure decides, not chance. */
const mostVoices = 64;
/** Texture may be this many times as strong along the motion as across it (11 dB), not more. */
const mostUneven = 14;
/** What coding leaves along the motion may be this many times the quietest cell. */
const mostFloor = 8;
const firstRounds = 25;
const nextRounds = 6;

/**
 * How well each tried angle explains one chunk: the logarithm of the likelihood against a picture without blur, as long
 * as `triedDegrees`. The model of power along the motion is texture · sinc²(L·f) + floor, with L = step·angle/360;
 * texture falls smoothly (three numbers a band), the floor of noise and coding is a line (two numbers a band).
 */
export function angleEvidence(chunk: BlurSpectrum, resolution: number): Float64Array {
  const evidence = new Float64Array(triedDegrees.length);
  for (let band = 0; band < bands; band += 1) {
    const cells = bandCells(chunk, band);
    if (cells === undefined) continue;
    let from = start(cells);
    const plain = fit(cells, 0, resolution, from, firstRounds).deviances;
    for (let t = 0; t < triedDegrees.length; t += 1) {
      const length = (chunk.step * (triedDegrees[t] ?? 0)) / 360;
      const best = fit(cells, length, resolution, from, t === 0 ? firstRounds : nextRounds);
      from = best.numbers;
      for (let part = 0; part < parts; part += 1) {
        const weight = (cells.partCells[part] ?? 0) * independence;
        const gained = Math.log((best.deviances[part] ?? 1) / (plain[part] ?? 1));
        evidence[t] = (evidence[t] ?? 0) - (weight / 2) * gained;
      }
    }
  }
  return evidence;
}

/**
 * Whether a blur of `length` pixels can be true at all: it would have weakened detail along the motion; when far more is
 * left than that, the texture would have to be many times as strong along the motion as across it. Guards against
 * textures that have rows of zeros of their own.
 */
export function allowsLength(chunk: BlurSpectrum, length: number): boolean {
  let floor = Infinity;
  for (let i = 0; i < chunk.power.length; i += 1) {
    if ((chunk.count[i] ?? 0) >= 4 && (chunk.power[i] ?? 0) > 0) floor = Math.min(floor, chunk.power[i] ?? 0);
  }
  return chunk.along.every((along, range) => {
    const [from, to] = [comparedEdges[range] ?? 0, comparedEdges[range + 1] ?? 0];
    let expected = 0;
    for (let i = 0; i < 16; i += 1) expected += sincSquared((from + ((to - from) * (i + 0.5)) / 16) * length) / 16;
    // Noise and coding stand in both; only what is well above the floor is texture.
    return along - mostFloor * floor <= mostUneven * expected * (chunk.across[range] ?? 0);
  });
}

interface Cells {
  readonly along: Float64Array;
  readonly power: Float64Array;
  readonly count: Float64Array;
  /** Rows of `unknowns` columns. */
  readonly columns: Float64Array;
  /** Part of the spectrum each cell belongs to, and the cells of each part. */
  readonly part: Uint8Array;
  readonly partCells: Float64Array;
}

function bandCells(chunk: BlurSpectrum, band: number): Cells | undefined {
  const along: number[] = [];
  const power: number[] = [];
  const count: number[] = [];
  const columns: number[] = [];
  const part: number[] = [];
  const partCells = new Float64Array(parts);
  const across = ((bandEdges[band] ?? 0) + (bandEdges[band + 1] ?? 0)) / 2;
  for (let bin = 1; bin < bins; bin += 1) {
    const n = chunk.count[band * bins + bin] ?? 0;
    const p = chunk.power[band * bins + bin] ?? 0;
    if (n === 0 || !(p > 0)) continue;
    const u = bin / (2 * bins);
    const whole = Math.hypot(u, across);
    along.push(u);
    const which = partEnds.findIndex((end) => u <= end);
    part.push(which);
    partCells[which] = (partCells[which] ?? 0) + 1;
    power.push(p);
    count.push(Math.min(n, mostVoices));
    columns.push(1, Math.log(whole / 0.1), (whole - 0.1) * 5, 1, (u - 0.25) * 4);
  }
  if (along.length < 24) return undefined;
  return {
    along: Float64Array.from(along),
    power: Float64Array.from(power),
    count: Float64Array.from(count),
    columns: Float64Array.from(columns),
    part: Uint8Array.from(part),
    partCells,
  };
}

function start(cells: Cells): Float64Array {
  const n = cells.power.length;
  const low = cells.power.subarray(0, Math.ceil(n / 8)).reduce((a, b) => a + b, 0) / Math.ceil(n / 8);
  const high = cells.power.reduce((a, b) => Math.min(a, b), Infinity);
  return Float64Array.of(Math.log(low), -1.5, -1, Math.log(high), 0);
}

/** sinc² of the blur, smeared as far as the picture's size lets frequencies be told apart. */
function blurGain(u: number, length: number, resolution: number): number {
  return (
    0.5 * sincSquared(u * length) +
    0.25 * (sincSquared((u + resolution) * length) + sincSquared((u - resolution) * length))
  );
}
function sincSquared(x: number): number {
  const a = Math.PI * x;
  return Math.abs(a) < 1e-6 ? 1 : (Math.sin(a) / a) ** 2;
}

/** Pull of the numbers towards what textures and floors usually have, in units of one cell's worth. */
const usual = [0, -2, -1, 0, 0] as const;
const pull = [1e-6, 0.5, 0.5, 1e-6, 4] as const;

/** Fisher scoring of Whittle's likelihood. */
function fit(
  cells: Cells,
  length: number,
  resolution: number,
  from: Float64Array,
  rounds: number,
): { readonly deviances: Float64Array; readonly numbers: Float64Array } {
  const n = cells.power.length;
  const gain = new Float64Array(n);
  for (let i = 0; i < n; i += 1) gain[i] = Math.max(1e-6, blurGain(cells.along[i] ?? 0, length, resolution));
  let numbers = from.slice();
  let [now, tried] = [modelOf(cells), modelOf(cells)];
  let likelihood = likelihoodOf(cells, gain, numbers, now);
  let damping = 1e-3;
  for (let round = 0; round < rounds; round += 1) {
    const step = scoring(cells, now, numbers, damping);
    if (step === undefined) break;
    const next = numbers.map((value, i) => value + Math.max(-2, Math.min(2, step[i] ?? 0)));
    const better = likelihoodOf(cells, gain, next, tried);
    if (better > likelihood) {
      [now, tried] = [tried, now];
      const gained = better - likelihood;
      numbers = next;
      likelihood = better;
      damping = Math.max(1e-6, damping / 4);
      if (gained < 0.01) break;
    } else damping *= 8;
    if (damping > 1e4) break;
  }
  return { deviances: deviancesOf(cells, now), numbers };
}

/** What the model says of every cell. */
interface Model {
  readonly texture: Float64Array;
  readonly floor: Float64Array;
}

const modelOf = ({ power }: Cells): Model => ({
  texture: new Float64Array(power.length),
  floor: new Float64Array(power.length),
});

/** Fills in the model for these numbers, whose exponentials are the dear part, and says how well it fits. */
function likelihoodOf(cells: Cells, gain: Float64Array, q: Float64Array, { texture, floor }: Model): number {
  const k = cells.columns;
  const [q0, q1, q2, q3, q4] = [q[0] ?? 0, q[1] ?? 0, q[2] ?? 0, q[3] ?? 0, q[4] ?? 0];
  let sum = 0;
  for (let i = 0; i < cells.power.length; i += 1) {
    const c = i * unknowns;
    const t = Math.exp(Math.min(60, q0 + q1 * (k[c + 1] ?? 0) + q2 * (k[c + 2] ?? 0))) * (gain[i] ?? 0);
    const f = Math.exp(Math.min(60, q3 + q4 * (k[c + 4] ?? 0)));
    texture[i] = t;
    floor[i] = f;
    sum -= (cells.count[i] ?? 0) * (Math.log(t + f) + (cells.power[i] ?? 0) / (t + f));
  }
  for (let j = 0; j < unknowns; j += 1) sum -= 0.5 * (pull[j] ?? 0) * 10 * ((q[j] ?? 0) - (usual[j] ?? 0)) ** 2;
  return sum;
}

/** Mean misfit of each part: near 1 when only chance is left, far above when the texture has structure of its own. */
function deviancesOf(cells: Cells, { texture, floor }: Model): Float64Array {
  const sums = new Float64Array(parts);
  for (let i = 0; i < cells.power.length; i += 1) {
    const ratio = (cells.power[i] ?? 0) / ((texture[i] ?? 0) + (floor[i] ?? 0));
    const part = cells.part[i] ?? 0;
    sums[part] = (sums[part] ?? 0) + 2 * (cells.count[i] ?? 0) * (ratio - 1 - Math.log(ratio));
  }
  return sums.map((sum, part) => sum / Math.max(1, cells.partCells[part] ?? 1) + 0.5);
}

function scoring(cells: Cells, { texture, floor }: Model, q: Float64Array, damping: number): Float64Array | undefined {
  const normal = new Float64Array(unknowns * unknowns);
  const right = new Float64Array(unknowns);
  const row = new Float64Array(unknowns);
  for (let i = 0; i < cells.power.length; i += 1) {
    const model = (texture[i] ?? 0) + (floor[i] ?? 0);
    const share = (texture[i] ?? 0) / model;
    for (let j = 0; j < unknowns; j += 1) row[j] = (cells.columns[i * unknowns + j] ?? 0) * (j < 3 ? share : 1 - share);
    const n = cells.count[i] ?? 0;
    const off = (cells.power[i] ?? 0) / model - 1;
    for (let j = 0; j < unknowns; j += 1) {
      const rj = row[j] ?? 0;
      right[j] = (right[j] ?? 0) + n * rj * off;
      for (let k = 0; k <= j; k += 1)
        normal[j * unknowns + k] = (normal[j * unknowns + k] ?? 0) + n * rj * (row[k] ?? 0);
    }
  }
  for (let j = 0; j < unknowns; j += 1)
    for (let k = j + 1; k < unknowns; k += 1) normal[j * unknowns + k] = normal[k * unknowns + j] ?? 0;
  for (let j = 0; j < unknowns; j += 1) {
    const strength = 10 * (pull[j] ?? 0);
    right[j] = (right[j] ?? 0) - strength * ((q[j] ?? 0) - (usual[j] ?? 0));
    const d = j * unknowns + j;
    normal[d] = ((normal[d] ?? 0) + strength) * (1 + damping) + 1e-9;
  }
  return solve(normal, right);
}

/** Gaussian elimination of a small positive system; undefined when it has no answer. */
function solve(matrix: Float64Array, right: Float64Array): Float64Array | undefined {
  const n = right.length;
  for (let c = 0; c < n; c += 1) {
    const pivot = matrix[c * n + c] ?? 0;
    if (!(Math.abs(pivot) > 1e-300)) return undefined;
    for (let r = c + 1; r < n; r += 1) {
      const factor = (matrix[r * n + c] ?? 0) / pivot;
      for (let k = c; k < n; k += 1) matrix[r * n + k] = (matrix[r * n + k] ?? 0) - factor * (matrix[c * n + k] ?? 0);
      right[r] = (right[r] ?? 0) - factor * (right[c] ?? 0);
    }
  }
  for (let r = n - 1; r >= 0; r -= 1) {
    let sum = right[r] ?? 0;
    for (let k = r + 1; k < n; k += 1) sum -= (matrix[r * n + k] ?? 0) * (right[k] ?? 0);
    right[r] = sum / (matrix[r * n + r] ?? 1);
  }
  return right;
}
