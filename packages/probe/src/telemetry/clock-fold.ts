import type { Rate, TelemetrySummary } from "@goodgate/model";
import { type ClockVerdict, clockPoints } from "./clock-rate.ts";
import type { RecordClock } from "./record.ts";
import { ownText } from "./unknown-keys.ts";

/** Folds the clocks of records into the first, the last and what they prove of the speed of the film. */
export interface ClockFold {
  /** Takes the clock of one record. */
  add(clock: RecordClock, startMicroseconds: number): void;
  /** Takes clocks that are written like the one added last: pairs of the start of a record and its clock. */
  addMoments(moments: Float64Array): void;
  /** Counts records that have a clock, beside those added one by one. */
  repeat(count: number): void;
  /** Gives the text of the last clock, where that is not the one added last. */
  lastText: (() => string) | undefined;
  verdict(spanMicroseconds: number, frameRate: Rate | undefined): ClockVerdict;
  summary(source: "satellite" | "camera"): Partial<TelemetrySummary>;
}

/** An empty fold. */
export function clockFold(): ClockFold {
  const points = clockPoints();
  let firstText: string | undefined;
  let last: RecordClock | undefined;
  // A list for the numbers: as variables of their own each change of them would take new memory.
  const times = Float64Array.of(0, 0, Number.POSITIVE_INFINITY);
  const fold: ClockFold = {
    lastText: undefined,
    add(clock, startMicroseconds) {
      if (firstText === undefined) {
        firstText = ownText(clock.text);
        times[0] = clock.microseconds;
      }
      // Its text is made when it is known to be the last.
      last = clock;
      fold.lastText = undefined;
      if (clock.stepMicroseconds < (times[2] as number)) times[2] = clock.stepMicroseconds;
      fold.addMoments(Float64Array.of(startMicroseconds, clock.microseconds));
      points.repeat(1);
    },
    addMoments(moments) {
      if (moments.length === 0) return;
      times[1] = moments[moments.length - 1] as number;
      points.add(moments);
    },
    repeat: points.repeat,
    verdict: (spanMicroseconds, frameRate) => points.verdict(times[2] as number, spanMicroseconds, frameRate),
    summary: (source) =>
      firstText === undefined || last === undefined
        ? {}
        : {
            firstClock: firstText,
            lastClock: ownText(fold.lastText?.() ?? last.text),
            clockSpanSeconds: ((times[1] as number) - (times[0] as number)) / 1e6,
            clockStepSeconds: (times[2] as number) / 1e6,
            clockSource: source,
          },
  };
  return fold;
}
