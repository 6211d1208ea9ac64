/** Points of a ribbon at most. */
export const mostPoints = 1024;

/** Points through a clip of any length; memory does not grow with it. */
export interface Ribbon<T> {
  add(point: T): void;
  points(): readonly T[];
}

/** A new ribbon: when it is full every second point goes, and from then on only every second one is taken. */
export function ribbonOf<T>(most = mostPoints): Ribbon<T> {
  let points: T[] = [];
  let [every, since] = [1, 0];
  return {
    add(point) {
      since += 1;
      if (since < every) return;
      since = 0;
      points.push(point);
      if (points.length <= most) return;
      points = points.filter((_, i) => i % 2 === 0);
      every *= 2;
    },
    points: () => points,
  };
}
