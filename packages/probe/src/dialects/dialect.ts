import type { CueShape } from "../telemetry/cue-shape.ts";
import type { TelemetryRecord } from "../telemetry/record.ts";
import type { UnknownKeys } from "../telemetry/unknown-keys.ts";

/** One way of writing camera settings as text. */
export interface Dialect {
  /** Kebab case, equal to the file name. */
  readonly id: string;
  readonly title: string;
  /** Whether a single cue is written this way; spoken text must not be. */
  recognises(cue: string): boolean;
  /**
   * Begins reading one file. The function returned reads one cue, `undefined` when it is not of this dialect; what a cue
   * says never depends on the cues before it. Keys it does not know go into `rest`. Into `shape` go the places of the
   * values, so that a cue that differs only there need not come here.
   */
  startReading(rest: UnknownKeys): (cue: string, shape?: CueShape) => TelemetryRecord | undefined;
}
