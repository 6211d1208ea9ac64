import { NumberBins } from "./number-bins.ts";
import { RunList } from "./run-list.ts";
import { finishedSeries, type Series, type SeriesBuilder } from "./series.ts";

/**
 * Puts together a series of numbers. Up to 4,096 different ones all is exact, as with `seriesBuilder`. Of more, first, least
 * and most stay exact, and times add up exactly; in between a number stands for those less than 0.1 % of it away, as
 * `NumberBins` says, so that a share of time above a limit is that above a limit less than 0.1 % away. A class, so that the
 * engine knows its functions again from series to series.
 */
export class NumberSeriesBuilder implements SeriesBuilder<number> {
  private readonly bins: NumberBins = new NumberBins((indexes) => this.runs.move(indexes));
  private readonly runs: RunList = new RunList(
    (a, b) => (this.bins.firsts[a] as number) - (this.bins.firsts[b] as number),
  );
  private records = 0;
  /** Least and most number, and the end of the last run. */
  private readonly ends = Float64Array.of(Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY);

  add(value: number, start: number, end: number): void {
    this.addRun(value, start, end, Math.max(0, end - start), 1);
  }

  addRun(value: number, start: number, end: number, held: number, count: number): void {
    this.take(value, start, held);
    this.end(end, count);
  }

  /**
   * Adds neighbouring records that each hold until the next: every value from one bound to the next, of which there is one
   * more than there are values. Times in microseconds.
   */
  addAll(values: Float64Array, bounds: Float64Array, records: number): void {
    for (let place = 0; place < values.length; place += 1) {
      const start = bounds[place] as number;
      this.take(values[place] as number, start, (bounds[place + 1] as number) - start);
    }
    this.end(bounds[values.length] as number, records);
  }

  finish(clipMicroseconds: number | undefined): Series<number> | undefined {
    if (this.records === 0) return undefined;
    const values = [...this.bins.firsts];
    const held = [...this.bins.held];
    const [least = 0, most = 0, end = 0] = this.ends;
    for (const extreme of [least, most]) {
      if (values.includes(extreme)) continue;
      values.push(extreme);
      held.push(0);
    }
    return finishedSeries(values, held, this.runs, end, this.records, clipMicroseconds);
  }

  private take(value: number, start: number, time: number): void {
    this.runs.push(start, this.bins.hold(value, time));
    if (value < (this.ends[0] as number)) this.ends[0] = value;
    if (value > (this.ends[1] as number)) this.ends[1] = value;
  }

  private end(end: number, records: number): void {
    this.records += records;
    if (end > (this.ends[2] as number)) this.ends[2] = end;
  }
}
