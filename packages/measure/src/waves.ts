/** A wave a·cos(2πft) + b·sin(2πft), t counted in values. */
export interface Wave {
  readonly cosine: number;
  readonly sine: number;
  /** Half of its swing. */
  readonly size: number;
  /** Share of what the series varies that is this wave, 0 to 1. */
  readonly share: number;
}

/** Looks for waves in a series with gaps (NaN); its slow change is taken out beforehand. */
export interface WaveFinder {
  /** Values that are known. */
  readonly known: number;
  /** The wave of this frequency (turns for each value) that comes nearest, by least squares. */
  at(turns: number): Wave;
}

/** Slow change is a polynomial of one degree for so many values, a parabola at least. */
const valuesPerDegree = 20;
/** A determinant below this share says that cosine and sine are one and the same, as at half a turn for each value. */
const degenerate = 1e-3;

/** A finder for one series (least squares periodogram: Lomb 1976, with a trend fitted beside). */
export function waveFinder(series: Float64Array): WaveFinder {
  const places: number[] = [];
  series.forEach((value, k) => Number.isFinite(value) && places.push(k));
  const trend = trendOf(places, series.length);
  const flat = flatten(
    Float64Array.from(places, (k) => series[k] ?? 0),
    trend,
  );
  const whole = dot(flat, flat);
  const [c, s] = [new Float64Array(places.length), new Float64Array(places.length)];
  return {
    known: places.length,
    at(turns) {
      for (let i = 0; i < places.length; i += 1) {
        const angle = 2 * Math.PI * turns * (places[i] ?? 0);
        c[i] = Math.cos(angle);
        s[i] = Math.sin(angle);
      }
      flatten(c, trend);
      flatten(s, trend);
      const [cc, ss, cs, cy, sy] = [dot(c, c), dot(s, s), dot(c, s), dot(c, flat), dot(s, flat)];
      const det = cc * ss - cs * cs;
      const lone = det < degenerate * cc * cc;
      const cosine = cc === 0 ? 0 : lone ? cy / cc : (ss * cy - cs * sy) / det;
      const sine = cc === 0 || lone ? 0 : (cc * sy - cs * cy) / det;
      const share = whole === 0 ? 0 : (cosine * cy + sine * sy) / whole;
      return { cosine, sine, size: Math.hypot(cosine, sine), share };
    },
  };
}

/** Powers of the place over the known ones, at right angles to each other and of length 1. */
function trendOf(places: readonly number[], length: number): readonly Float64Array[] {
  const trend: Float64Array[] = [];
  const degree = Math.max(2, Math.floor(length / valuesPerDegree));
  for (let power = 0; power <= degree; power += 1) {
    const curve = flatten(
      Float64Array.from(places, (k) => ((2 * k) / Math.max(1, length - 1) - 1) ** power),
      trend,
    );
    const size = Math.sqrt(dot(curve, curve));
    trend.push(curve.map((value) => (size === 0 ? 0 : value / size)));
  }
  return trend;
}

/** Takes the trend out, in place. */
function flatten(values: Float64Array, trend: readonly Float64Array[]): Float64Array {
  for (const curve of trend) {
    const share = dot(values, curve);
    for (let i = 0; i < values.length; i += 1) values[i] = (values[i] ?? 0) - share * (curve[i] ?? 0);
  }
  return values;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i += 1) sum += (a[i] ?? 0) * (b[i] ?? 0);
  return sum;
}
