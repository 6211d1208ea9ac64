import { add, compare, divide, equal, multiply, parseRatio, type Ratio, ratio, zero } from "@goodgate/model";
import { expect, test } from "vitest";
import { bigReport, emptyReport, hostileReport, sampleReport } from "../sample-report.ts";
import type { ClipReport, Report } from "../schema.ts";
import { renderOtio } from "./otio.ts";

interface Time {
  readonly rate: number;
  readonly value: number;
}
interface Range {
  readonly start_time: Time;
  readonly duration: Time;
}
interface Node {
  readonly OTIO_SCHEMA: string;
  readonly name: string;
  readonly kind?: string;
  readonly children?: readonly Node[];
  readonly source_range?: Range;
  readonly effects?: readonly { readonly time_scalar: number; readonly metadata: { goodgate: { speed: string } } }[];
  readonly markers?: readonly { readonly marked_range: Range; readonly comment: string }[];
  readonly media_references?: {
    readonly DEFAULT_MEDIA: {
      readonly OTIO_SCHEMA: string;
      readonly target_url?: string;
      readonly available_range: Range;
    };
  };
}
interface Timeline {
  readonly metadata: {
    readonly goodgate: { readonly timelineRate: string; readonly leftOut: readonly { name: string; why: string }[] };
  };
  readonly tracks: Node;
}

const timelineOf = (report: Report): Timeline => JSON.parse(renderOtio(report)) as Timeline;
const trackOf = (report: Report, kind = "Video"): readonly Node[] =>
  timelineOf(report).tracks.children?.find((track) => track.kind === kind)?.children ?? [];

/** The rate behind a floating-point one: the fractions of the trade are the only ones used here. */
function exactRate(rate: number): Ratio {
  for (const below of [1, 1001]) {
    const above = Math.round(rate * below);
    if (above / below === rate) return ratio(above, below);
  }
  throw new Error(`${rate} is no rate of the trade`);
}
const secondsOf = (at: Time): Ratio => divide(ratio(at.value), exactRate(at.rate));

/*
 * Outside check: fields of each class as published by the format's own project, docs/tutorials/
 * otio-serialized-schema-only-fields.md at 013fe04; `children` and OTIO_SCHEMA stand in every published example.
 */
const item = ["effects", "enabled", "markers", "metadata", "name", "source_range"];
const media = ["available_image_bounds", "available_range", "metadata", "name"];
const published: Readonly<Record<string, readonly string[]>> = {
  "Timeline.1": ["global_start_time", "metadata", "name", "tracks"],
  "Stack.1": [...item, "children"],
  "Track.1": [...item, "children", "kind"],
  "Gap.1": item,
  "Clip.2": [...item, "active_media_reference_key", "media_references"],
  "ExternalReference.1": [...media, "target_url"],
  "MissingReference.1": media,
  "LinearTimeWarp.1": ["effect_name", "metadata", "name", "time_scalar"],
  "Marker.2": ["color", "comment", "marked_range", "metadata", "name"],
  "RationalTime.1": ["rate", "value"],
  "TimeRange.1": ["duration", "start_time"],
};

function eachObject(value: unknown, see: (found: Readonly<Record<string, unknown>>) => void, inMetadata = false): void {
  if (Array.isArray(value)) for (const each of value) eachObject(each, see, inMetadata);
  else if (typeof value === "object" && value !== null) {
    const found = value as Readonly<Record<string, unknown>>;
    if (!inMetadata && found["OTIO_SCHEMA"] !== undefined) see(found);
    for (const [key, inner] of Object.entries(found)) eachObject(inner, see, inMetadata || key === "metadata");
  }
}

test.each([
  ["golden", sampleReport()],
  ["hostile", hostileReport()],
  ["empty", emptyReport()],
])("the %s timeline has exactly the published fields of each class", (_, report) => {
  const seen = new Set<string>();
  eachObject(timelineOf(report), (found) => {
    const { OTIO_SCHEMA: schema, ...fields } = found;
    seen.add(String(schema));
    expect([schema, Object.keys(fields).toSorted()]).toEqual([schema, published[String(schema)]?.toSorted()]);
  });
  expect(seen).toContain("Timeline.1");
  expect(seen).toContain("Track.1");
});

test("clips stand in shooting order and what is left out is named with its reason", () => {
  expect(trackOf(sampleReport()).map((clip) => clip.name)).toEqual([
    "DCIM/100MEDIA/CLIP0001.MP4",
    "DCIM/100MEDIA/CLIP0002.MP4",
    "DCIM/100MEDIA/CLIP0003.MP4",
    "DCIM/100MEDIA/CLIP0007.MP4",
  ]);
  expect(timelineOf(sampleReport()).metadata.goodgate.leftOut).toEqual([
    { name: "DCIM/100MEDIA/CLIP0004.MP4", why: "to be flown again" },
    { name: "DCIM/100MEDIA/CLIP0005.MP4", why: "to be flown again" },
    { name: "DCIM/100MEDIA/CLIP0006.MP4", why: "could not be judged" },
  ]);
});

test("lengths added up with exact arithmetic are the lengths the plan gives, less what does not fill a frame", () => {
  const frame = ratio(1, 25);
  let sum = zero;
  for (const clip of trackOf(sampleReport())) {
    const length = secondsOf(clip.source_range?.duration ?? { rate: 1, value: 0 });
    const planned = sampleReport().clips.find((each) => each.name === clip.name)?.plan.timelineSeconds;
    const wanted = parseRatio(planned ?? "") ?? zero;
    expect(compare(length, wanted)).toBeLessThanOrEqual(0);
    expect(compare(add(length, frame), wanted)).toBe(1);
    sum = add(sum, length);
  }
  // 312/25 + 60 + 599/25 (29.97 fps slowed to a frame each) + 120
  expect(equal(sum, ratio(312 + 1500 + 599 + 3000, 25))).toBe(true);
});

test("no clip asks for more media than its file has, its speed counted in", () => {
  for (const report of [sampleReport(), bigReport(100)]) {
    for (const { source_range: used, effects, media_references: references } of trackOf(report)) {
      if (used === undefined || references === undefined) throw new Error("a clip without range or media");
      const has = references.DEFAULT_MEDIA.available_range;
      const speed = parseRatio(effects?.[0]?.metadata.goodgate.speed ?? "1/1") ?? zero;
      const needs = multiply(secondsOf(used.duration), speed);
      expect(compare(needs, secondsOf(has.duration))).toBeLessThanOrEqual(0);
      expect(used.start_time).toEqual(has.start_time);
      for (const value of [used.duration.value, has.duration.value, has.start_time.value]) {
        expect(Number.isSafeInteger(value)).toBe(true);
      }
    }
  }
});

test("a slowed clip carries its exact speed, a clip at full speed no effect", () => {
  const [full, half, retimed] = trackOf(sampleReport());
  expect(full?.effects).toEqual([]);
  expect(half?.effects).toMatchObject([{ OTIO_SCHEMA: "LinearTimeWarp.1", time_scalar: 0.5 }]);
  expect(retimed?.effects).toMatchObject([
    { time_scalar: 1001 / 1200, metadata: { goodgate: { speed: "1001/1200" } } },
  ]);
});

test("media begin at their own timecode, and at zero without one", () => {
  const [withTimecode, without] = trackOf(sampleReport());
  expect(withTimecode?.source_range?.start_time).toMatchObject({ value: (10 * 3600 + 12 * 60 + 30) * 25, rate: 25 });
  expect(without?.source_range?.start_time).toMatchObject({ value: 0, rate: 50 });
});

test("timecode of 25 labels a second in a clip of 50 frames counts two frames a label", () => {
  const clip = sampleReport().clips[1] as ClipReport;
  const timecode = { state: "read" as const, value: "00:00:01:05", labelsPerSecond: 25 };
  const one = (labelsPerSecond: number): Report => ({
    ...sampleReport(),
    clips: [{ ...clip, facts: { ...clip.facts, timecode: { ...timecode, labelsPerSecond } } }],
  });
  expect(trackOf(one(25))[0]?.source_range?.start_time.value).toBe(60);
  // 30 labels do not fit 50 frames: such a timecode is not used.
  expect(trackOf(one(30))[0]?.source_range?.start_time.value).toBe(0);
});

test("findings with times are markers in the media's own frames", () => {
  const spanned = trackOf(sampleReport())[3];
  expect(spanned?.markers?.map((marker) => marker.marked_range.start_time.value)).toEqual([310, 1502]);
  expect(spanned?.markers?.[0]?.comment).toContain("4 frames are missing");
});

const withParts = (frames: readonly (number | undefined)[]): Report => {
  const report = sampleReport();
  const clip = report.clips[6] as ClipReport;
  const parts = clip.parts
    .filter((part) => part.role === "original" || part.role === "part")
    .map((part, place) => ({ ...part, ...(frames[place] === undefined ? {} : { frames: frames[place] }) }));
  return { ...report, clips: [{ ...clip, parts }] };
};

test("a split recording becomes one clip a file when their lengths are known, as long together as the recording", () => {
  const pieces = trackOf(withParts([1400, 1600]));
  expect(pieces.map((piece) => piece.media_references?.DEFAULT_MEDIA.target_url)).toEqual([
    "DCIM/100MEDIA/CLIP0007.MP4",
    "DCIM/100MEDIA/CLIP0008.MP4",
  ]);
  expect(pieces.map((piece) => piece.source_range?.duration.value)).toEqual([1400, 1600]);
  // The finding at 60.08 s lies in the second file, at its frame 102, in the recording's own count 1502.
  expect(pieces.map((piece) => piece.markers?.map((marker) => marker.marked_range.start_time.value))).toEqual([
    [310],
    [1502],
  ]);
});

test.each([
  ["not known", [undefined, undefined]],
  ["not those of the recording", [1400, 1700]],
])("a split recording whose parts' lengths are %s is one clip without a file, never a wrong range", (_, frames) => {
  const pieces = trackOf(withParts(frames));
  expect(pieces).toHaveLength(1);
  expect(pieces[0]?.media_references?.DEFAULT_MEDIA.OTIO_SCHEMA).toBe("MissingReference.1");
  expect(pieces[0]?.source_range?.duration.value).toBe(3000);
});

test("sound goes beside clips at full speed, and gaps of the same length beside the others", () => {
  const report = sampleReport();
  const clips = report.clips.map((clip) => ({
    ...clip,
    facts: { ...clip.facts, sound: { state: "read" as const, value: "aac" } },
  }));
  const [video, sound] = [trackOf({ ...report, clips }), trackOf({ ...report, clips }, "Audio")];
  expect(sound.map((each) => each.OTIO_SCHEMA)).toEqual(["Clip.2", "Gap.1", "Gap.1", "Clip.2"]);
  expect(sound.map((each) => each.source_range?.duration)).toEqual(video.map((each) => each.source_range?.duration));
  expect(timelineOf(report).tracks.children).toHaveLength(1);
});

test("media are named by relative URLs that lead back to the path on the card", () => {
  const urls = trackOf(hostileReport()).flatMap((clip) => clip.media_references?.DEFAULT_MEDIA.target_url ?? []);
  expect(urls.length).toBeGreaterThan(3);
  for (const url of urls) {
    expect(url).toMatch(/^DCIM\/[A-Za-z0-9%/._!~*'()-]+$/);
    expect(new URL(url, "file:///card/").href.startsWith("file:///card/DCIM/")).toBe(true);
  }
  const first = sampleReport().clips[0]?.files[0];
  expect(trackOf(sampleReport())[0]?.media_references?.DEFAULT_MEDIA.target_url).toBe(first);
});

test("fractional rates are whole frames at the right rate, with the ratio beside them", () => {
  const report = sampleReport();
  const fractional = {
    ...report,
    brief: { ...report.brief, items: { ...report.brief.items, timelineRate: "30000/1001" } },
  };
  const { metadata } = timelineOf(fractional);
  expect(metadata.goodgate.timelineRate).toBe("30000/1001");
  for (const clip of trackOf(fractional)) {
    expect(clip.source_range?.duration.rate).toBe(30000 / 1001);
    expect(Number.isSafeInteger(clip.source_range?.duration.value)).toBe(true);
  }
});

test("of a file that was cut short only what is there goes on the timeline", () => {
  const report = sampleReport();
  const clip = report.clips[0] as ClipReport;
  const usableSeconds = { state: "read" as const, value: "201/50", decimal: 4.02 };
  const [only] = trackOf({ ...report, clips: [{ ...clip, facts: { ...clip.facts, usableSeconds } }] });
  expect(only?.source_range?.duration.value).toBe(100);
  expect(only?.media_references?.DEFAULT_MEDIA.available_range.duration.value).toBe(100);
});
