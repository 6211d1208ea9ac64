/**
 * A list that need not be held whole: it is gone through in order, or asked for one place. Every array is one; a list of
 * ten thousand clips may keep its items packed and make each anew when it is asked for.
 */
export interface List<T> extends Iterable<T> {
  readonly length: number;
  /** The item at a place counted from 0; undefined past the end. */
  at(place: number): T | undefined;
}
