/** The value below which `share` of the values lie, between neighbours in proportion; NaN when there are none. */
export function quantile(values: readonly number[] | Float64Array, share: number): number {
  if (values.length === 0) return Number.NaN;
  const sorted = Float64Array.from(values).sort();
  const place = share * (sorted.length - 1);
  const low = Math.floor(place);
  const below = sorted[low] ?? Number.NaN;
  const above = sorted[Math.min(sorted.length - 1, low + 1)] ?? below;
  return below + (above - below) * (place - low);
}

/** The middle value. */
export const median = (values: readonly number[] | Float64Array): number => quantile(values, 0.5);

/** The mean; NaN when there are none. */
export const mean = (values: readonly number[] | Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < values.length; i += 1) sum += values[i] ?? 0;
  return values.length === 0 ? Number.NaN : sum / values.length;
};
