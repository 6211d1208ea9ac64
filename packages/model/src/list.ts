/**
 * A list that need not be held whole: it is gone through in order, or asked for one place. Every array is one; a list of
 * ten thousand clips may keep its items packed and make each anew when it is asked for.
 */
export interface List<T> extends Iterable<T> {
  readonly length: number;
  /** The item at a place counted from 0; undefined past the end. */
  at(place: number): T | undefined;
}

/** A list whose items are made when they are asked for. */
export const listOf = <T>(length: number, make: (place: number) => T): List<T> => ({
  length,
  at: (place) => (Number.isInteger(place) && place >= 0 && place < length ? make(place) : undefined),
  *[Symbol.iterator]() {
    for (let place = 0; place < length; place += 1) yield make(place);
  },
});
