import { fNumberRange, isoRange, kelvinRange } from "../dialects/values.ts";
import type { TelemetryRecord } from "../telemetry/record.ts";
import { eachItem, type KlvItem, type KlvScope, numbersOf, textOf } from "./klv-items.ts";
import type { DataTrackContent, DataTrackInput, DataTrackReader } from "./reader.ts";
import { utcClock } from "./satellite-clock.ts";
import { shutterFromFloat } from "./shutter-number.ts";
import { recordOf, statedDegrees, statedWithin, type StreamBuilder, streamBuilder } from "./stream-builder.ts";

/** What a key of one stream gives: records, one for each of its values. */
type ReadKey = (item: KlvItem, scope: KlvScope) => readonly Partial<TelemetryRecord>[] | undefined;

/**
 * Four-character key, type, size, repeat, in entries `gpmd`. One sample covers about a second; the values of each key are
 * spread evenly over its time. Sensor gain (`ISOG`) is no ISO and only listed. Keys as in exiftool's tables.
 */
export default {
  id: "four-character-klv",
  title: "Four-character key, length and value",
  mixed: false,
  recognises: (track) => track.entry === "gpmd",
  read,
} satisfies DataTrackReader;

function read({ samples: { samples, numbers }, rest }: DataTrackInput): DataTrackContent {
  const shutter = shutterFromFloat();
  const streams = new Map<string, StreamBuilder>();
  const readers: Readonly<Record<string, ReadKey>> = {
    SHUT: each((value) => ({ shutterSeconds: shutter(value) })),
    ISOE: each((value) => ({ iso: statedWithin(value, ...isoRange) })),
    WBAL: each((value) => (value === 0 ? {} : { whiteBalanceKelvin: statedWithin(value, ...kelvinRange) })),
    FNUM: each((value) => ({ fNumber: statedWithin(Number(value.toPrecision(4)), ...fNumberRange) })),
    GPS5: places,
    GPS9: places,
    GPSU: clocks,
  };
  let unreadSamples = 0;
  let lastEnd = Number.NEGATIVE_INFINITY;
  samples.forEach((sample, at) => {
    const found: { key: string; records: readonly Partial<TelemetryRecord>[] }[] = [];
    const whole = eachItem(sample.bytes, (item, scope) => {
      const reader = readers[item.key];
      const records = reader?.(item, scope);
      if (records !== undefined) found.push({ key: item.key, records });
      else if (reader === undefined && !structural.has(item.key)) rest.add(item.key, describe(item));
    });
    // A nest longer than its sample spoils the whole sample: what was read up to there may belong to something else.
    if (!whole || sample.bytes.length === 0) {
      unreadSamples += 1;
      return;
    }
    const start = Math.max(sample.startMicroseconds, lastEnd);
    const step = Math.max(0, sample.startMicroseconds + sample.durationMicroseconds - start);
    lastEnd = start + step;
    const used = new Set<string>();
    for (const { key, records } of found) {
      // A second device in the same sample repeats the keys; the first one is the camera.
      if (used.has(key)) continue;
      used.add(key);
      let stream = streams.get(key);
      if (stream === undefined) {
        stream = streamBuilder();
        streams.set(key, stream);
      }
      records.forEach((fields, place) => {
        const from = start + (step * place) / records.length;
        const to = start + (step * (place + 1)) / records.length;
        stream.add(from, to, numbers[at] ?? at, recordOf(fields));
      });
    }
  });
  const ordered = [...streams].sort(([a], [b]) => rank(a) - rank(b)).map(([, stream]) => stream.finish());
  return { streams: ordered, unreadSamples, remarks: [], clockSource: "satellite" };
}

const order = ["SHUT", "ISOE", "FNUM", "WBAL", "GPS9", "GPS5", "GPSU"];
const rank = (key: string): number => order.indexOf(key);

/** Keys that describe other keys. */
const structural = new Set([
  "DEVC",
  "STRM",
  "DVID",
  "DVNM",
  "STNM",
  "TSMP",
  "SCAL",
  "SIUN",
  "UNIT",
  "TYPE",
  "STMP",
  "GPSF",
  "GPSP",
]);

const each =
  (fields: (value: number) => Partial<TelemetryRecord>): ReadKey =>
  (item, scope) => {
    const rows = numbersOf(item, scope);
    return rows?.map(([value]) => (value === undefined ? {} : fields(value)));
  };

/** Latitude, longitude, altitude lead both forms. Without a fix (`GPSF` 0) the numbers are stale and left out. */
function places(item: KlvItem, scope: KlvScope): readonly Partial<TelemetryRecord>[] | undefined {
  if (scope.fix === 0) return undefined;
  return numbersOf(item, scope)?.map((row) => {
    const [latitude, longitude, altitude] = row;
    // The longer form carries the kind of fix as its ninth number (from memory).
    if (row.length >= 9 && row[8] === 0) return {};
    return {
      latitudeDegrees: statedDegrees(latitude ?? Number.NaN, 90),
      longitudeDegrees: statedDegrees(longitude ?? Number.NaN, 180),
      ...(altitude === undefined ? {} : { altitudeMetres: statedWithin(altitude, -1000, 100_000) }),
    };
  });
}

const dateForm = /^(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)\.(\d{3})/;

/** `yymmddhhmmss.sss` in UTC. */
function clocks(item: KlvItem): readonly Partial<TelemetryRecord>[] | undefined {
  const match = dateForm.exec(textOf(item));
  if (match === null) return undefined;
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0, milliseconds = 0] = match.slice(1).map(Number);
  const time = Date.UTC(2000 + year, month - 1, day, hour, minute, second, milliseconds);
  const clock = utcClock(time * 1000, 1000);
  return clock === undefined ? undefined : [{ clock }];
}

const describe = (item: KlvItem): string =>
  item.type === "c" ? textOf(item) : `${item.repeat} × ${item.size} bytes of type ${item.type}`;
