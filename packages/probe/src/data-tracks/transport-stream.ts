import type { TelemetryFacts } from "../contracts.ts";
import { type ClipTimes, foldTelemetry } from "../telemetry/fold.ts";
import { unknownKeys } from "../telemetry/unknown-keys.ts";
import { beginsWithSet, readSt0601 } from "./st0601.ts";
import { readTransport } from "./transport-packets.ts";

/** Ticks after which the clock of a transport stream begins again. */
const clockPeriod = 2 ** 33;

/**
 * Reads the records of aircraft (MISB ST 0601) in a transport stream: place and UTC clock. `stretches` are pieces of the
 * file in order, the first with its tables; the first and the last MiB are enough for a first verdict. Never throws.
 */
export function readTransportStreamKlv(
  stretches: readonly Uint8Array[],
  clip: ClipTimes,
  file: string,
): TelemetryFacts | { readonly notTelemetry: string } {
  const { units, pictureTicks } = readTransport(stretches);
  const own = units.filter((unit) => beginsWithSet(unit.payload));
  if (own.length === 0) return { notTelemetry: "no records in the transport stream" };
  const zero = pictureTicks ?? own.find((unit) => unit.ticks !== undefined)?.ticks ?? 0;
  const rest = unknownKeys();
  let last = 0;
  const timed = own.map((unit) => {
    if (unit.ticks !== undefined) {
      const passed = unit.ticks - zero;
      last = Math.round((passed < -clockPeriod / 2 ? passed + clockPeriod : passed) / 0.09);
    }
    return { start: last, record: readSt0601(unit.payload, rest) };
  });
  timed.sort((a, b) => a.start - b.start);
  const starts = timed.map(({ start }) => start);
  // A lone record holds for the clip: there is no length in the stream.
  const ends = starts.map((start) => (timed.length > 1 ? start : (clip.microseconds ?? start)));
  return foldTelemetry({
    dialect: "st0601",
    file,
    place: `KLV records 0 to ${own.length - 1}`,
    records: {
      streams: [{ starts, ends, record: (place) => timed[place]?.record }],
      nameOf: (_, place) => `KLV record ${place}`,
    },
    clip,
    rest,
    unreadRecords: 0,
    remarks: stretches.length > 1 ? ["Only parts of the file were looked at for records."] : [],
    clockSource: "satellite",
  });
}
