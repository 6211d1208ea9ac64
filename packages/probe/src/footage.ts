import { type Disagreement, type Facts, toNumber, valueOf } from "@goodgate/model";
import type { TelemetryFacts } from "./contracts.ts";
import type { ClipTimes } from "./telemetry/fold.ts";

/** What one moving-picture file says by itself. */
export interface FootageReading {
  readonly facts: Facts;
  readonly textTracks: readonly TelemetryFacts[];
  readonly dataTracks: readonly TelemetryFacts[];
  readonly xmp?: Uint8Array;
  readonly notFootage?: string;
  readonly readers: readonly string[];
  readonly disagreements: readonly Disagreement[];
  /** Why a second reader that was asked for gave no answer. */
  readonly secondReaderSilent?: string;
  readonly cost: { readonly bytes: number; readonly calls: number; readonly milliseconds: number };
  readonly neededBytes: number;
}

/** Our own readers' name in reports. */
export const own = "goodgate";

/** A reading without anything in it, to be filled. */
export const nothing = {
  textTracks: [],
  dataTracks: [],
  disagreements: [],
  cost: { bytes: 0, calls: 0, milliseconds: 0 },
  neededBytes: 0,
} as const;

/** Length and rate of a clip as telemetry readers need them. */
export function clipTimes(facts: Facts): ClipTimes {
  const duration = valueOf(facts.durationSeconds);
  const frameRate = valueOf(facts.frameRate);
  return {
    ...(duration === undefined ? {} : { microseconds: Math.round(toNumber(duration) * 1e6) }),
    ...(frameRate === undefined ? {} : { frameRate }),
  };
}
