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
   * Begins reading one file. The function returned reads one cue, `undefined` when it is not of this dialect; it may
   * remember texts of earlier cues and hand out the same record again, changed, for the next cue. Keys it does not know
   * go into `rest`.
   */
  startReading(rest: UnknownKeys): (cue: string) => TelemetryRecord | undefined;
}
