// What a truth.json of the samples says of a clip, laid beside the facts that were read. For tests only.
import { expect } from "vitest";
import {
  type Clip,
  type FactName,
  type FactValues,
  firstValue,
  parseRatio,
  type Ratio,
  ratioText,
  type Reading,
  type Series,
  shareWhere,
  typicalValue,
  toNumber,
  valueOf,
} from "@goodgate/model";

/** What one key of a truth says, held against one clip; throws where they differ. */
export type Comparator = (said: unknown, clip: Clip) => void;

/** Tolerance of shutter times: cameras write 1/60 for 1/59.94 and round to the labels of a menu. Common practice. */
const shutterShare = 0.03;
const kelvinSlack = 100;
const degreesSlack = 1e-4;

function value<Name extends FactName>(clip: Clip, name: Name): FactValues[Name] {
  const reading = clip.facts[name] as Reading<FactValues[Name]> | undefined;
  expect(reading, `${name} of ${clip.name}`).toMatchObject({ state: "read" });
  return (reading as { readonly value: FactValues[Name] }).value;
}

const is =
  <Name extends FactName>(name: Name): Comparator =>
  (said, clip) =>
    expect(value(clip, name), name).toEqual(said);

/** Null stands for a fact that nothing may be said of. */
const notRead = (name: FactName, clip: Clip): void => expect(clip.facts[name]?.state, name).not.toBe("read");

/** The values of a series in the order they appear, or the one value, each within `near` of what is said. */
const series =
  <T>(
    name: FactName,
    numberOf: (held: T) => number,
    near: (found: number, said: number) => boolean,
    all = true,
  ): Comparator =>
  (said, clip) => {
    if (said === null) return notRead(name, clip);
    const held = value(clip, name) as unknown as Series<T>;
    const wanted = (Array.isArray(said) ? said : [said]).map(Number);
    const found = held.values.map(numberOf);
    const text = `${name} ${found.join(", ")} beside ${wanted.join(", ")}`;
    if (all) expect(found.length, text).toBe(wanted.length);
    wanted.forEach((one, place) => expect(near(found[place] ?? Number.NaN, one), text).toBe(true));
  };

const plain = (held: number): number => held;
const exactly = (found: number, said: number): boolean => found === said;
const within =
  (slack: number) =>
  (found: number, said: number): boolean =>
    Math.abs(found - said) <= slack;
const sharing =
  (share: number) =>
  (found: number, said: number): boolean =>
    Math.abs(found - said) <= share * Math.abs(said);

const ratioOf =
  (name: FactName): Comparator =>
  (said, clip) =>
    expect(ratioText(value(clip, name) as Ratio), name).toBe(String(said).split(" ")[0]);

const secondsOf =
  (name: FactName, slack = 1e-6): Comparator =>
  (said, clip) =>
    expect(Math.abs(toNumber(value(clip, name) as Ratio) - Number(said)), `${name} beside ${said}`).toBeLessThanOrEqual(
      slack,
    );

const raster: Comparator = (said, clip) =>
  expect(`${value(clip, "width")}x${value(clip, "height")}`, "raster").toBe(said);

/** Width and height as displayed: clean of pixel aspect, turned. */
const displayed: Comparator = (said, clip) => {
  const aspect = valueOf(clip.facts.pixelAspect);
  const across = Math.round(value(clip, "width") * (aspect === undefined ? 1 : toNumber(aspect)));
  const down = value(clip, "height");
  const onSide = value(clip, "rotationDegrees") % 180 === 90;
  expect(onSide ? `${down}x${across}` : `${across}x${down}`).toBe(said);
};

/** `primaries/transfer/matrix`, with the range behind a space. */
const colour: Comparator = (said, clip) => {
  const [names, range] = String(said).split(" ");
  expect([value(clip, "primaries"), value(clip, "transfer"), value(clip, "matrix")].join("/")).toBe(names);
  if (range !== undefined) expect(value(clip, "fullRange")).toBe(range === "pc");
};

const dialects: Readonly<Record<string, string>> = {
  "bracketed pairs": "bracketed-pairs",
  "bracketed pairs in WebVTT": "bracketed-pairs",
  "slash line": "slash-line",
  "colon pairs": "home-gps-lines",
  "colon pairs in ASS": "lettered-gps-lines",
};
const fieldOrders: Readonly<Record<string, string>> = { tt: "top field first", bb: "bottom field first" };

/** The first place of the clip: where its path begins, else where it says it is. */
const placeOf = (clip: Clip): FactValues["location"] | undefined =>
  valueOf(clip.facts.path)?.[0] ?? valueOf(clip.facts.location);
const coordinate =
  (side: "latitudeDegrees" | "longitudeDegrees"): Comparator =>
  (said, clip) => {
    const place = placeOf(clip);
    if (said === null) return void expect(place).toBeUndefined();
    expect(Math.abs((place?.[side] ?? Number.NaN) - Number(said)), side).toBeLessThanOrEqual(degreesSlack);
  };
const altitude: Comparator = (said, clip) => {
  const found = placeOf(clip)?.altitudeMetres;
  if (said === null) return void expect(found).toBeUndefined();
  expect(Math.abs((found ?? Number.NaN) - Number(said)), "altitude").toBeLessThanOrEqual(0.01);
};

/** A moment as written, or null where no clock may be believed. */
const moment: Comparator = (said, clip) => {
  const created = clip.facts.createdAt;
  if (said === null) {
    return void expect(created?.state !== "read" || created.value.suspect !== undefined, "a clock in doubt").toBe(true);
  }
  expect(new Date(value(clip, "createdAt").epochMilliseconds).getTime()).toBe(Date.parse(String(said)));
};

const telemetry = (clip: Clip): FactValues["telemetry"] => value(clip, "telemetry");
const hasTrack = (clip: Clip, holds: string): void =>
  expect([...(valueOf(clip.facts.textTracks) ?? []), ...(valueOf(clip.facts.dataTracks) ?? [])]).toContainEqual(
    expect.objectContaining({ holds }),
  );

/** A track that is named and of which no value is taken. */
function unknownTrack(clip: Clip): void {
  hasTrack(clip, "unknown vocabulary");
  for (const name of ["telemetry", "iso", "shutterSeconds", "location"] as const) notRead(name, clip);
}

/** The capture rate, as number or ratio; null where none may be stated as read. */
const captured: Comparator = (said, clip) => {
  if (said === null) return notRead("captureRate", clip);
  expect(toNumber(value(clip, "captureRate"))).toBeCloseTo(Number(said), 6);
};

/** A number in the words a truth has for states; every word a sample uses has its line. */
const states: Readonly<Record<string, (clip: Clip) => void>> = {
  damaged: (clip) => expect(clip.facts.structure?.state).toBe("damaged"),
  absent: (clip) => notRead("telemetry", clip),
  "damaged sidecar": (clip) => expect(JSON.stringify(clip.facts.captureRate)).toMatch(/^\{"state":"damaged".*XML/),
  "damaged: DOCTYPE refused": (clip) =>
    expect(clip.facts.captureRate).toMatchObject({ state: "damaged", why: expect.stringMatching(/DOCTYPE/) }),
  "damaged tail; whole cues before it count": (clip) => {
    const { records, remarks = [], unreadRecords } = telemetry(clip);
    expect(records).toBeGreaterThan(0);
    expect(unreadRecords + remarks.length).toBeGreaterThan(0);
  },
  "damaged values, cue by cue; never Infinity": (clip) => {
    expect(Object.values(telemetry(clip).damagedValues ?? {}).every((count) => count > 0)).toBe(true);
    expect(clip.facts.shutterSeconds?.state).toBe("damaged");
  },
  "first sample damaged (nest longer than sample), second good": (clip) => {
    expect(telemetry(clip)).toMatchObject({ unreadRecords: 1 });
    expect(valueOf(clip.facts.iso)?.values).toEqual([500]);
  },
  "unknown vocabulary": (clip) => unknownTrack(clip),
  "unknown vocabulary: name the track, take no value": (clip) => unknownTrack(clip),
};

const byLength = (a: Ratio, b: Ratio): number => toNumber(a) - toNumber(b);

/** Every key that can be held against a clip. */
export const comparators: Readonly<Record<string, Comparator>> = {
  fps: ratioOf("frameRate"),
  clip_fps: ratioOf("frameRate"),
  frames: is("frames"),
  cfr: (said, clip) => expect(["constant", "rounded"].includes(value(clip, "timing").kind)).toBe(said),
  duration_s: secondsOf("durationSeconds"),
  media_duration_s: secondsOf("mediaSeconds"),
  presented_duration_s: secondsOf("durationSeconds"),
  start_delay_s: secondsOf("startSeconds"),
  // ffprobe 4 and 5 count from the first packet or the first shown one.
  start_s: secondsOf("startSeconds", 0.2),
  longest_frame_s: (said, clip) => {
    const { mostTicks, timescale } = value(clip, "timing");
    expect(Math.abs(mostTicks / timescale - Number(said))).toBeLessThan(1e-3);
  },
  mean_fps: (said, clip) =>
    expect(value(clip, "frames") / toNumber(value(clip, "durationSeconds"))).toBeCloseTo(Number(said), 3),
  mode_fps: (said, clip) => {
    const [, kind, count] = /^(\d+)\/1 \((\d+) of/.exec(String(said)) ?? [];
    expect(ratioText(value(clip, "frameRate"))).toBe(`${kind}/1`);
    // The last picture has no interval.
    expect(value(clip, "timing").histogram[0]?.count).toBeGreaterThanOrEqual(Number(count) - 1);
  },
  slow_segment: (said, clip) => {
    const { from_s, to_s, rate } = said as { readonly from_s: number; readonly to_s: number; readonly rate: number };
    let at = 0;
    const entries = value(clip, "editList").map((entry) => {
      const from = at;
      at += toNumber(entry.durationSeconds);
      return { from_s: from, to_s: at, rate: toNumber(entry.speed) };
    });
    expect(entries).toContainEqual({ from_s, to_s, rate });
  },
  width: is("width"),
  height: is("height"),
  coded: raster,
  displayed,
  clean_aperture: (said, clip) => {
    const { width, height } = value(clip, "cleanAperture");
    expect(`${toNumber(width)}x${toNumber(height)}`).toBe(said);
  },
  sar: (said, clip) => expect(ratioText(value(clip, "pixelAspect")).replace("/", ":")).toBe(said),
  rotation_cw: is("rotationDegrees"),
  color: colour,
  colr: (said, clip) => {
    const names = /^nclc (\d+)\/(\d+)\/(\d+)/.exec(String(said));
    colour(names === null ? said : "bt709/bt709/bt709", clip);
    expect(clip.facts.primaries).toMatchObject({ origin: { place: expect.stringMatching(/colr$/) } });
  },
  vui: (said, clip) => {
    const names = (["primaries", "transfer", "matrix"] as const).map((name) => {
      const reading = clip.facts[name];
      return reading?.state === "read" ? reading.witnesses?.find((witness) => !witness.agrees)?.value : undefined;
    });
    expect(names.join("/")).toBe(said);
  },
  range: (_, clip) =>
    expect(clip.facts.fullRange).toMatchObject({ origin: { place: expect.not.stringMatching(/colr/) } }),
  codec: is("sampleEntry"),
  sample_entry: is("sampleEntry"),
  bit_depth: is("bitDepth"),
  max_cll: (said, clip) => expect(value(clip, "mastering").maximumContentNits).toBe(said),
  max_fall: (said, clip) => expect(value(clip, "mastering").maximumFrameAverageNits).toBe(said),
  mastering_max_nit: (said, clip) => expect(value(clip, "mastering").maximumNits).toBe(said),
  mastering_min_nit: (said, clip) => expect(value(clip, "mastering").minimumNits).toBe(said),
  field_order: (said, clip) => {
    // The bundled ffprobe 4.0 does not state the order of fields: then nothing may be said, least of all progressive.
    if (valueOf(clip.facts.container) === "mpeg-ts" && clip.facts.scan?.state === "absent") return;
    expect(value(clip, "scan")).toBe(fieldOrders[String(said)]);
  },
  timecode: (said, clip) => expect(value(clip, "timecode").start).toBe(said),
  drop_frame: (said, clip) => expect(value(clip, "timecode").dropFrame).toBe(said),
  created: moment,
  created_utc: moment,
  created_state: (said, clip) => {
    if (said === "absent") expect(clip.facts.createdAt?.state).toBe("absent");
    else expect(value(clip, "createdAt").suspect).toBeDefined();
  },
  utc: (said, clip) => {
    moment(said, clip);
    expect(telemetry(clip).clockSource).toBe("satellite");
  },
  gps_utc: (said, clip) => {
    moment(said, clip);
    expect(telemetry(clip).clockSource).toBe("satellite");
  },
  local_time: (said, clip) => {
    const text = String(said).split(" ")[0];
    // Kept as written, where microseconds stand behind a comma of their own.
    const written = telemetry(clip)
      .firstClock?.replace(" ", "T")
      .replace(/,(\d{3}),(\d{3})$/, ".$1$2");
    expect(written).toBe(text);
  },
  utc_offset: (said, clip) => {
    expect(said).toBe("unknown");
    expect(telemetry(clip).firstClock).not.toMatch(/Z|[+-]\d\d:\d\d$/);
  },
  lat: coordinate("latitudeDegrees"),
  lon: coordinate("longitudeDegrees"),
  alt_m: altitude,
  abs_alt_m: altitude,
  third_gps_number: (_, clip) => altitude(null, clip),
  rel_alt_m: series("heightMetres", plain, within(0.05), false),
  barometer_m: series("heightMetres", plain, within(0.05), false),
  capture_fps: captured,
  capture_fps_hint: (said, clip) => {
    const hints = [valueOf(clip.facts.captureRate), valueOf(clip.facts.codecRate)].flatMap((rate) => rate ?? []);
    expect(hints.map(toNumber)).toContain(said);
  },
  slow_factor: (said, clip) =>
    expect(toNumber(value(clip, "captureRate")) / toNumber(value(clip, "frameRate"))).toBeCloseTo(Number(said), 9),
  vui_fps: ratioOf("codecRate"),
  record_fps: (said, clip) => expect(toNumber(value(clip, "frameRate"))).toBe(said),
  xmp_fps: (said, clip) => {
    const { witnesses = [] } = clip.facts.frameRate?.state === "read" ? clip.facts.frameRate : {};
    expect(witnesses.map((witness) => [toNumber(witness.value), witness.agrees])).toContainEqual([said, true]);
  },
  iso: series("iso", plain, exactly, false),
  shutter_s: series<Ratio>("shutterSeconds", toNumber, sharing(shutterShare), false),
  f_number: series("fNumber", plain, within(1e-6)),
  ev: series("exposureBias", plain, within(1e-3), false),
  kelvin: series("whiteBalanceKelvin", plain, within(kelvinSlack), false),
  nd: (said, clip) => {
    const passed = parseRatio(String(said));
    expect(passed).toBeDefined();
    const stops = Math.log2(1 / toNumber(passed as Ratio));
    expect(typicalValue(value(clip, "ndStops"), (a, b) => a - b)).toBeCloseTo(stops, 6);
  },
  gain_db: series("gainDecibels", plain, within(1e-6)),
  shutter_angle: series("shutterAngle", plain, within(1e-6)),
  focal_35mm: series("focalLength35mm", plain, within(1e-6)),
  dzoom: series("digitalZoom", plain, within(1e-6)),
  dialect: (said, clip) => expect(telemetry(clip).dialect).toBe(dialects[String(said)] ?? String(said)),
  grammar: (said, clip) => {
    expect(said).toBe("four-character KLV");
    expect(telemetry(clip).dialect).toBe("four-character-klv");
  },
  cadence: (said, clip) => expect(telemetry(clip).cadence).toBe(said),
  coverage: (said, clip) => expect(telemetry(clip).coverage).toBeCloseTo(Number(said), 2),
  hole_s: (said, clip) => {
    const [from, to] = said as readonly [number, number];
    const [gap] = telemetry(clip).gaps;
    expect([gap?.fromSeconds, gap?.toSeconds].map((time) => Number(time?.toFixed(3)))).toEqual([from, to]);
  },
  share: (said, clip) => {
    const held = value(clip, "iso");
    const shares = held.values.map((iso) => shareWhere(held, (one) => one === iso));
    (said as readonly number[]).forEach((share, place) => expect(shares[place]).toBeCloseTo(share, 2));
  },
  change_at_s: (said, clip) => {
    const shutter = value(clip, "shutterSeconds");
    expect((shutter.runStarts[1] ?? Number.NaN) / 1e6).toBeCloseTo(Number(said), 2);
    expect(toNumber(firstValue(shutter))).not.toBe(toNumber(shutter.values[1] ?? firstValue(shutter)));
    expect(extremesAreOrdered(shutter)).toBe(true);
  },
  distance_m: (said, clip) => expect(Object.values(telemetry(clip).unknownKeys).join(" ")).toContain(String(said)),
  rolling_shutter_s: (_, clip) => expect(Object.keys(telemetry(clip).unknownKeys).length).toBeGreaterThan(0),
  mime: (_, clip) => unknownTrack(clip),
  uri: (_, clip) => unknownTrack(clip),
  state: (said, clip) => {
    const check = states[String(said)];
    expect(check, `a state "${said}" that nothing checks`).toBeDefined();
    check?.(clip);
  },
  chapters: (_, clip) => {
    hasTrack(clip, "chapters");
    notRead("telemetry", clip);
  },
  facts: (_, clip) => {
    for (const name of ["codec", "frames", "frameRate", "durationSeconds", "width", "height"] as const) {
      expect(clip.facts[name]?.state, name).toBe("absent");
    }
  },
};

const extremesAreOrdered = (held: Series<Ratio>): boolean =>
  byLength(typicalValue(held, byLength), held.values[0] as Ratio) <= 0;

/** Keys whose words are for people, or that repeat what another key of the same truth says. */
export const prose: Readonly<Record<string, string>> = {
  note: "an explanation",
  trap: "what a careless reader does",
  why: "an explanation",
  reason: "the reason in the words of whoever made the sample; that there is one is checked for every damaged fact",
  report: "how the report puts what vui and colr check",
  tolerance: "why cfr is true",
  tc_note: "an explanation of timecode",
  gps_note: "an explanation of gps_utc",
  iso_why: "an explanation of iso",
  conflict: "arithmetic on shutter_angle, capture_fps and shutter_s, which are checked",
  bytes: "what the test of the byte budget checks",
  raw: "the number in the file that created_state judges",
  readings: "the two moments raw can mean, neither of which may be believed",
  fields: "twice fps",
  focal_mm: "the true focal length, which nothing here uses: only its 35 mm equivalent is kept",
  sensitivity_type: "tells which tag iso comes from, which is checked by iso",
};
