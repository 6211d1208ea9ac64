/** Runs kept of one series at most; when more arrive they are halved. Half of it is still sharp at 4K width. */
export const mostRuns = 8192;

/**
 * The runs of a series: where each begins, and the index of its value. When there are too many, of every four neighbours
 * the least and the most stay, so that a short excursion is never lost from a plot. A class, so that the engine knows its
 * functions again from series to series.
 */
export class RunList {
  thinned = false;
  private count = 0;
  private startList = new Float64Array(8);
  private valueList = new Uint32Array(8);
  private readonly order: (a: number, b: number) => number;

  /** `order` compares values by their indexes. */
  constructor(order: (a: number, b: number) => number) {
    this.order = order;
  }

  /** Begins a run, unless the one before has the same value; a start before the last one is moved up to it. */
  push(start: number, value: number): void {
    const count = this.count;
    if (count > 0 && this.valueList[count - 1] === value) return;
    if (count === this.startList.length) this.grow();
    const before = count > 0 ? (this.startList[count - 1] as number) : start;
    this.startList[count] = start < before ? before : start;
    this.valueList[count] = value;
    this.count = count + 1;
    if (count >= mostRuns) this.thin();
  }

  /** Gives the values other indexes. */
  move(indexes: Uint32Array): void {
    for (let place = 0; place < this.count; place += 1)
      this.valueList[place] = indexes[this.valueList[place] as number] as number;
  }

  get starts(): Float64Array {
    return this.startList.slice(0, this.count);
  }

  get values(): Uint32Array {
    return this.valueList.slice(0, this.count);
  }

  private grow(): void {
    const starts = new Float64Array(4 * this.count);
    const values = new Uint32Array(4 * this.count);
    starts.set(this.startList);
    values.set(this.valueList);
    this.startList = starts;
    this.valueList = values;
  }

  /** Halves the runs between the first and the last, which stay as they are. */
  private thin(): void {
    const last = this.count - 1;
    const starts = this.startList;
    const values = this.valueList;
    const valueAt = (place: number): number => values[place] as number;
    const kept = [0];
    for (let group = 1; group < last; group += 4) {
      const end = Math.min(group + 4, last);
      let least = group;
      let most = group;
      for (let place = group + 1; place < end; place += 1) {
        if (this.order(valueAt(place), valueAt(least)) < 0) least = place;
        if (this.order(valueAt(place), valueAt(most)) > 0) most = place;
      }
      kept.push(Math.min(least, most));
      if (least !== most) kept.push(Math.max(least, most));
    }
    kept.push(last);
    // Neighbours that have become equal are one run.
    const places = kept.filter((place, at) => at === 0 || valueAt(place) !== valueAt(kept[at - 1] as number));
    places.forEach((place, at) => {
      starts[at] = starts[place] as number;
      values[at] = values[place] as number;
    });
    this.count = places.length;
    this.thinned = true;
  }
}
