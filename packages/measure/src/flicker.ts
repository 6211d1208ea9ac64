import { transformLine } from "./line-transform.ts";
import { cannotTell, type Measured, type MeasuredFlicker } from "./measurement.ts";
import { median, quantile } from "./numbers.ts";
import { rowBands } from "./small-picture.ts";

/** Shortest run in which pulsing is sought: two frequencies a quarter of a hertz apart need four seconds. */
export const leastFlickerSeconds = 3.5;
/** Slowest pulsing that is told from clouds and pans. */
export const leastFlickerHertz = 1.2;
/** The peak has to stand this many times above its surroundings (power); a clean pan stays below 10. */
const leastStanding = 16;
/** Below this, scenery that passes can look like pulsing. */
const sceneryHertz = 2.5;
/** Weakest amplitude that is told, as a share of the mean. */
const leastAmplitude = 0.002;
/** A lamp lights all rows alike: share of the typical amplitude that the weakest quarter of bands must reach. */
const leastEvenness = 0.45;
/** How near the beat has to be to name the mains. */
const mainsWithinHertz = 0.3;

/**
 * Pulsing of the light in one run of frames. `series` holds the brightness of each of the 16 row bands, frame after
 * frame, in codes; `black` is the code of black. Periodogram with Hann's window over every band, averaged without phase so that rolling bands do not cancel.
 */
export function flickerOf(series: Float64Array, framesPerSecond: number, black = 0): Measured<MeasuredFlicker> {
  const frames = Math.floor(series.length / rowBands);
  if (frames / framesPerSecond < leastFlickerSeconds) {
    return cannotTell(`no run of ${leastFlickerSeconds} s was looked at`);
  }
  if (framesPerSecond <= 2 * leastFlickerHertz) return cannotTell("there are too few frames a second to show a pulse");
  const size = 2 ** Math.ceil(Math.log2(frames * 4));
  const spectra = bandSpectra(series, frames, size, black);
  if (spectra === undefined) return cannotTell("the picture is black");
  const power = new Float64Array(size / 2);
  for (const spectrum of spectra) {
    for (let k = 0; k < size / 2; k += 1) {
      power[k] = (power[k] ?? 0) + ((spectrum[2 * k] ?? 0) ** 2 + (spectrum[2 * k + 1] ?? 0) ** 2) / rowBands;
    }
  }
  const hertz = (k: number): number => (k * framesPerSecond) / size;
  const lobe = Math.ceil((2 * size) / frames);
  const first = Math.ceil((leastFlickerHertz * size) / framesPerSecond);
  const around = Math.max(4 * lobe, Math.ceil((3 * size) / framesPerSecond));
  let best = 0;
  let clearest = 1;
  for (let k = Math.max(first, 1); k < size / 2 - 1; k += 1) {
    const p = power[k] ?? 0;
    if (p < (power[k - 1] ?? 0) || p < (power[k + 1] ?? 0)) continue;
    const near: number[] = [];
    for (let j = Math.max(lobe, k - around); j <= Math.min(size / 2 - 1, k + around); j += lobe / 2) {
      const place = Math.round(j);
      if (Math.abs(place - k) > 1.5 * lobe) near.push(power[place] ?? 0);
    }
    const stands = p / Math.max(1e-12, median(near));
    // Passing scenery is slow: the slower, the clearer a peak has to be.
    const clear = stands / leastStanding / Math.max(1, sceneryHertz / hertz(k)) ** 4;
    if (clear < clearest) continue;
    best = k;
    clearest = clear;
  }
  const floor = 2 * Math.sqrt(quantile(power.subarray(first), 0.5)) * Math.sqrt(leastStanding);
  const leastSeenPercent = 100 * Math.max(leastAmplitude, floor);
  if (best === 0) return { state: "read", found: false, leastSeenPercent };
  const amplitudes = spectra.map((s) => 2 * Math.hypot(s[2 * best] ?? 0, s[2 * best + 1] ?? 0));
  const amplitude = median(amplitudes);
  if (amplitude < leastAmplitude || quantile(amplitudes, 0.25) < leastEvenness * amplitude) {
    return { state: "read", found: false, leastSeenPercent };
  }
  const found = hertz(best + peakOffset(power, best));
  const mainsHertz = mainsOf(found, framesPerSecond);
  return {
    state: "read",
    found: true,
    hertz: found,
    amplitudePercent: 100 * amplitude,
    bandsPerPicture: bandsPerPicture(spectra, best),
    ...(mainsHertz === undefined ? {} : { mainsHertz }),
    leastSeenPercent,
  };
}

/** The strongest flicker of all runs, else the run that would have seen the weakest. */
export function strongestFlicker(flickers: readonly Measured<MeasuredFlicker>[]): Measured<MeasuredFlicker> {
  let best: Measured<MeasuredFlicker> = flickers[0] ?? cannotTell(`no run of ${leastFlickerSeconds} s was looked at`);
  for (const one of flickers) {
    if (one.state !== "read") continue;
    if (best.state !== "read") best = one;
    else if (one.found !== best.found) best = one.found ? one : best;
    else if (
      one.found
        ? (one.amplitudePercent ?? 0) > (best.amplitudePercent ?? 0)
        : one.leastSeenPercent < best.leastSeenPercent
    )
      best = one;
  }
  return best;
}

/** One spectrum a band, of brightness against the band's own mean, scaled so that a sine of amplitude a gives a/2. */
function bandSpectra(
  series: Float64Array,
  frames: number,
  size: number,
  black: number,
): readonly Float64Array[] | undefined {
  const input = new Float64Array(2 * size);
  const spectra: Float64Array[] = [];
  for (let band = 0; band < rowBands; band += 1) {
    const values = Float64Array.from({ length: frames }, (_, n) => (series[n * rowBands + band] ?? 0) - black);
    const level = values.reduce((a, b) => a + b, 0) / frames;
    if (!(level > 0.5)) return undefined;
    const trend = quadraticTrend(values);
    input.fill(0);
    for (let n = 0; n < frames; n += 1) {
      const fade = 1 - Math.cos((2 * Math.PI * (n + 0.5)) / frames);
      input[2 * n] = (((values[n] ?? 0) - (trend[n] ?? 0)) / level / frames) * fade;
    }
    spectra.push(transformLine(input).slice());
  }
  return spectra;
}

/** Clouds and slow pans: a parabola through the run, by Legendre's polynomials. */
function quadraticTrend(values: Float64Array): Float64Array {
  const n = values.length;
  const sums = [0, 0, 0];
  const norms = [0, 0, 0];
  const terms = (i: number): readonly [number, number, number] => {
    const x = n === 1 ? 0 : (2 * i) / (n - 1) - 1;
    return [1, x, 1.5 * x * x - 0.5];
  };
  for (let i = 0; i < n; i += 1) {
    terms(i).forEach((t, j) => {
      sums[j] = (sums[j] ?? 0) + t * (values[i] ?? 0);
      norms[j] = (norms[j] ?? 0) + t * t;
    });
  }
  return values.map((_, i) =>
    terms(i).reduce((sum, t, j) => sum + (t * (sums[j] ?? 0)) / Math.max(1e-12, norms[j] ?? 0), 0),
  );
}

/** Place of the top between three points of a Hann peak, by the parabola through their logarithms. */
function peakOffset(power: Float64Array, k: number): number {
  const [a, b, c] = [power[k - 1] ?? 0, power[k] ?? 0, power[k + 1] ?? 0].map((p) => Math.log(Math.max(1e-30, p)));
  const bend = (a ?? 0) - 2 * (b ?? 0) + (c ?? 0);
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * ((a ?? 0) - (c ?? 0))) / bend)) : 0;
}

/** How often the phase turns from the top row to the bottom; 0 when the whole picture pulses at once. */
function bandsPerPicture(spectra: readonly Float64Array[], k: number): number {
  let turns = 0;
  let before: number | undefined;
  for (const spectrum of spectra) {
    const phase = Math.atan2(spectrum[2 * k + 1] ?? 0, spectrum[2 * k] ?? 0) / (2 * Math.PI);
    if (before !== undefined) {
      const step = phase - before;
      turns += step - Math.round(step);
    }
    before = phase;
  }
  const whole = Math.abs((turns * rowBands) / (rowBands - 1));
  return whole < 0.08 ? 0 : whole;
}

/** The mains whose pulses (twice its frequency) beat at `hertz` with the frame rate; undefined when both or neither fit. */
function mainsOf(hertz: number, framesPerSecond: number): 50 | 60 | undefined {
  const fits = ([50, 60] as const).filter((mains) => {
    const nearest = Math.round((2 * mains) / framesPerSecond);
    return Math.abs(Math.abs(2 * mains - nearest * framesPerSecond) - hertz) <= mainsWithinHertz;
  });
  return fits.length === 1 ? fits[0] : undefined;
}
