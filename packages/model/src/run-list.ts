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
    const { valueList, order } = this;
    const last = this.count - 1;
    let kept = 1;
    for (let group = 1; group < last; group += 4) {
      const end = Math.min(group + 4, last);
      let least = group;
      let most = group;
      for (let place = group + 1; place < end; place += 1) {
        if (order(valueList[place] as number, valueList[least] as number) < 0) least = place;
        if (order(valueList[place] as number, valueList[most] as number) > 0) most = place;
      }
      kept = this.keep(kept, Math.min(least, most));
      if (least !== most) kept = this.keep(kept, Math.max(least, most));
    }
    // Neighbours that have become equal are one run.
    this.count = this.keep(kept, last);
    this.thinned = true;
  }

  /** Moves a run to the front, behind those that were kept, unless it has the value of the last; how many are kept by now. */
  private keep(kept: number, place: number): number {
    const value = this.valueList[place] as number;
    if (value === this.valueList[kept - 1]) return kept;
    this.startList[kept] = this.startList[place] as number;
    this.valueList[kept] = value;
    return kept + 1;
  }
}
