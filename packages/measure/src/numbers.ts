/** The value below which `share` of the values lie, between neighbours in proportion; NaN when there are none. */
export function quantile(values: readonly number[] | Float64Array, share: number): number {
  if (values.length === 0) return Number.NaN;
  return quantileInPlace(Float64Array.from(values), share);
}

/** The same; the values change places, so that nothing is copied. */
export function quantileInPlace(values: Float64Array, share: number): number {
  if (values.length === 0) return Number.NaN;
  const place = share * (values.length - 1);
  const low = Math.floor(place);
  const below = selectInPlace(values, low);
  if (place === low) return below;
  let above = Infinity;
  for (let i = low + 1; i < values.length; i += 1) above = Math.min(above, values[i] ?? Infinity);
  return below + (above - below) * (place - low);
}

/** Moves the value of rank `rank` to its place, lower ones before it, and returns it (quickselect: Hoare 1961). */
function selectInPlace(values: Float64Array, rank: number): number {
  let [from, to] = [0, values.length - 1];
  while (from < to) {
    const pivot = values[(from + to) >> 1] ?? 0;
    let [i, j] = [from, to];
    while (i <= j) {
      while ((values[i] ?? 0) < pivot) i += 1;
      while ((values[j] ?? 0) > pivot) j -= 1;
      if (i > j) break;
      const kept = values[i] ?? 0;
      values[i] = values[j] ?? 0;
      values[j] = kept;
      i += 1;
      j -= 1;
    }
    if (rank <= j) to = j;
    else if (rank >= i) from = i;
    else break;
  }
  return values[rank] ?? Number.NaN;
}

/** The middle value. */
export const median = (values: readonly number[] | Float64Array): number => quantile(values, 0.5);

/** The mean; NaN when there are none. */
export const mean = (values: readonly number[] | Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < values.length; i += 1) sum += values[i] ?? 0;
  return values.length === 0 ? Number.NaN : sum / values.length;
};

/** The value below which `share` of the weight lies; NaN when there is none. */
export function weightedQuantile(values: readonly { value: number; weight: number }[], share: number): number {
  const sorted = [...values].sort((a, b) => a.value - b.value);
  let left = share * sorted.reduce((sum, { weight }) => sum + weight, 0);
  for (const { value, weight } of sorted) {
    left -= weight;
    if (left <= 0) return value;
  }
  return sorted.at(-1)?.value ?? Number.NaN;
}
