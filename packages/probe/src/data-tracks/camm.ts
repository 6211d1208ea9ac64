import { emptyRecord } from "../telemetry/record.ts";
import type { DataTrackContent, DataTrackInput, DataTrackReader } from "./reader.ts";
import { utcClock, utcFromSatelliteSeconds } from "./satellite-clock.ts";
import { shutterFromQuotient } from "./shutter-number.ts";
import { recordOf, statedDegrees, streamBuilder } from "./stream-builder.ts";

/** Payload bytes of each type of sample (Camera Motion Metadata specification, section "Data format"; from memory). */
const payloadBytes: Readonly<Record<number, number>> = { 0: 12, 1: 8, 2: 12, 3: 12, 4: 12, 5: 24, 6: 56, 7: 12 };

/**
 * Camera motion metadata, `camm`: two reserved bytes, two of type, little endian payload. Type 1 is the exposure of each
 * row and the rolling-shutter skew in nanoseconds, 5 and 6 are places, 6 with satellite time.
 */
export default {
  id: "camm",
  title: "Camera motion metadata",
  mixed: true,
  recognises: (track) => track.entry === "camm",
  read,
} satisfies DataTrackReader;

function read({ samples: { samples, numbers }, rest }: DataTrackInput): DataTrackContent {
  const exposures = streamBuilder();
  const places = streamBuilder();
  const remarks: string[] = [];
  let unreadSamples = 0;
  samples.forEach((sample, at) => {
    const { bytes, startMicroseconds: start } = sample;
    const end = start + sample.durationMicroseconds;
    const number = numbers[at] ?? at;
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const type = bytes.length >= 4 ? view.getUint16(2, true) : -1;
    const length = payloadBytes[type];
    if (length === undefined || bytes.length < 4 + length) {
      unreadSamples += 1;
      return;
    }
    if (type === 1) {
      const skewNanoseconds = view.getInt32(8, true);
      if (skewNanoseconds > 0) rest.add("rolling shutter", `${skewNanoseconds / 1e6} ms`);
      const shutterSeconds = shutterFromQuotient(Math.max(0, view.getInt32(4, true)), 1_000_000_000);
      exposures.add(start, end, number, recordOf({ shutterSeconds }));
    } else if (type === 5) {
      places.add(start, end, number, place(view, 4, view.getFloat64(20, true)));
    } else if (type === 6) {
      const record = emptyRecord();
      const fix = view.getInt32(12, true);
      if (fix !== 0) Object.assign(record, place(view, 16, view.getFloat32(32, true)));
      record.clock = clockOf(view.getFloat64(4, true));
      places.add(start, end, number, record);
    }
  });
  const streams = [exposures, places].filter((stream) => stream.count() > 0).map((stream) => stream.finish());
  return { streams, unreadSamples, remarks, clockSource: "satellite" };
}

function place(view: DataView, at: number, altitude: number) {
  return recordOf({
    latitudeDegrees: statedDegrees(view.getFloat64(at, true), 90),
    longitudeDegrees: statedDegrees(view.getFloat64(at + 8, true), 180),
    ...(Number.isFinite(altitude) ? { altitudeMetres: { value: altitude } } : {}),
  });
}

/** Seconds of satellite time since 1980, as the specification has it; writers that count from 1970 cannot be told apart here. */
function clockOf(seconds: number) {
  return utcClock(utcFromSatelliteSeconds(seconds), 1000);
}
