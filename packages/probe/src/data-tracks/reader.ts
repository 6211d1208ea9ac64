import type { Timecode } from "@goodgate/model";
import type { ExtraTrackSource } from "../contracts.ts";
import type { ClipTimes } from "../telemetry/fold.ts";
import type { RecordStream } from "../telemetry/record.ts";
import type { NumberedSamples } from "../telemetry/sampling.ts";
import type { UnknownKeys } from "../telemetry/unknown-keys.ts";

/** What is given to the reader of one kind of data track. */
export interface DataTrackInput {
  readonly track: ExtraTrackSource;
  readonly samples: NumberedSamples;
  readonly clip: ClipTimes;
  readonly rest: UnknownKeys;
}

/** What a data track says. */
export interface DataTrackContent {
  /** Streams of records, the most telling first; empty when no sample could be read. */
  readonly streams: readonly (RecordStream & { readonly sampleNumbers: ArrayLike<number> })[];
  /** Samples that could not be read. */
  readonly unreadSamples: number;
  readonly remarks: readonly string[];
  readonly clockSource: "satellite" | "camera";
  /** Timecode of the first sample, where the records carry one. */
  readonly timecode?: Timecode;
}

/** One kind of data track. */
export interface DataTrackReader {
  /** Kebab case, equal to the file name. */
  readonly id: string;
  readonly title: string;
  /** Whether a track is of this kind, by its entry and, for entries that may hold anything, its first sample. */
  recognises(track: ExtraTrackSource, firstSample: Uint8Array): boolean;
  /** Whether samples of several kinds stand mixed in one track. */
  readonly mixed: boolean;
  /** Reads the samples. Bytes that make no sense are counted, never thrown. */
  read(input: DataTrackInput): DataTrackContent;
}
