/** Where a value came from, in the words the report prints. */
export type OriginKind =
  | "container" // a field of the clip's own file says so
  | "per-frame record" // a text or data track in the file, or a subtitle beside it, with one record a frame or a second
  | "sidecar" // a separate file of metadata
  | "still" // a photograph's own metadata
  | "file system" // names, sizes, times
  | "measured" // counted or computed from the pictures
  | "inferred"; // concluded from other facts; the place says from which

/** The bytes behind a reading. */
export interface Origin {
  readonly kind: OriginKind;
  /** Path inside the card. */
  readonly file: string;
  /** Box path, line, tag, track; or the rule of an inference. */
  readonly place: string;
  /** `goodgate` for our own readers, else the program's name and version. */
  readonly reader?: string;
}

/** Another source for the same fact that says the same or something else. */
export interface Witness<T> {
  readonly value: T;
  readonly origin: Origin;
  /** False when it contradicts the value in use beyond the fact's tolerance. */
  readonly agrees: boolean;
}

/** A fact that was read. */
export interface Read<T> {
  readonly state: "read";
  readonly value: T;
  readonly origin: Origin;
  readonly witnesses?: readonly Witness<T>[];
  /** Other sources that hold the fact and broke its grammar; only when there are any. */
  readonly broken?: readonly Damaged[];
}
/** A fact that was read, without where it came from. */
export type Known<T> = Pick<Read<T>, "state" | "value">;
/** A fact for which there is nothing: the place where it would stand is not there or holds the format's "not set". */
export interface Absent {
  readonly state: "absent";
  readonly why: string;
  /** The place for it is there and holds the format's "not set". */
  readonly unset?: true;
}
/** A fact whose bytes are there and break the grammar or the plausible range. */
export interface Damaged {
  readonly state: "damaged";
  readonly why: string;
  readonly origin: Origin;
  /** Zeros that the card never wrote over, or bytes the system did not hand over; anything else when left out. */
  readonly cause?: "never written" | "not given";
}

/** A fact, or the reason there is none. There is no null, NaN or minus one in goodgate. */
export type Reading<T> = Read<T> | Absent | Damaged;

/** A reading that holds a value. */
export const read = <T>(value: T, origin: Origin): Read<T> => ({ state: "read", value, origin });
/** A reading that says why there is nothing. */
export const absent = (why: string): Absent => ({ state: "absent", why });
/** A reading of a place that is there and holds the format's "not set". */
export const unset = (why: string): Absent => ({ state: "absent", why, unset: true });
/** A reading that says what is broken and where. */
export const damaged = (why: string, origin: Origin): Damaged => ({ state: "damaged", why, origin });

/** The value of a reading, or undefined when there is none; for optional facts only. */
export const valueOf = <T>(reading: Known<T> | Absent | Damaged | undefined): T | undefined =>
  reading?.state === "read" ? reading.value : undefined;
