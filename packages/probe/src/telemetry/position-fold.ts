import { damaged, type Origin, read } from "@goodgate/model";
import type { TelemetryFacts } from "../contracts.ts";
import { noFix } from "./fact-fold.ts";
import { type PathBuilder, pathBuilder } from "./path.ts";
import type { TelemetryRecord } from "./record.ts";

/** Folds positions of records into the first fix and a thinned path. */
export interface PositionFold {
  add(record: TelemetryRecord, startMicroseconds: number, name: () => string): void;
  /** The path, for adding fixes of many records at once. */
  readonly path: PathBuilder;
  /**
   * Counts records whose position was read elsewhere: those that state one, and those in which latitude and longitude were
   * told apart by their order.
   */
  addMany(records: number, byOrder: number): void;
  /** Counts records whose position is the fault of the record before. */
  repeatFault(records: number): void;
  readonly faults: () => number;
  /** Records in which latitude and longitude were told apart only by their order. */
  readonly byOrder: () => number;
  finish(origin: Origin): Pick<TelemetryFacts, "location" | "path">;
}

/** An empty fold. A pair of zeros is "no fix", never a place in the Gulf of Guinea. */
export function positionFold(): PositionFold {
  const path = pathBuilder();
  let faults = 0;
  let byOrder = 0;
  let mentionedRecords = 0;
  let firstFault: { text: string; name: string } | undefined;
  return {
    path,
    add(record, startMicroseconds, name) {
      const { latitudeDegrees: latitude, longitudeDegrees: longitude, altitudeMetres: altitude } = record;
      if (latitude === undefined || longitude === undefined) return;
      mentionedRecords += 1;
      if ("fault" in latitude || "fault" in longitude) {
        faults += 1;
        const text = "fault" in latitude ? latitude.fault : "fault" in longitude ? longitude.fault : "";
        firstFault ??= { text, name: name() };
        return;
      }
      if (latitude.value === 0 && longitude.value === 0) return;
      if (record.axesByOrder) byOrder += 1;
      const metres = altitude !== undefined && "value" in altitude ? altitude.value : Number.NaN;
      path.add(latitude.value, longitude.value, metres, startMicroseconds);
    },
    addMany(records, ordered) {
      mentionedRecords += records;
      byOrder += ordered;
    },
    repeatFault(records) {
      mentionedRecords += records;
      faults += records;
    },
    faults: () => faults,
    byOrder: () => byOrder,
    finish(origin) {
      const points = path.finish();
      const [first] = points;
      if (first !== undefined) {
        const { atSeconds: _, ...place } = first;
        return { location: read(place, origin), path: read(points, origin) };
      }
      if (firstFault !== undefined) {
        const why = `"${firstFault.text}" is no position (${faults} of ${mentionedRecords} records)`;
        return { location: damaged(why, { ...origin, place: firstFault.name }) };
      }
      return mentionedRecords > 0 ? { location: noFix } : {};
    },
  };
}
