import { ratioText, valueOf } from "@goodgate/model";
import { expect, test } from "vitest";
import { parseAnswer, type ProbeAnswer } from "./answer.ts";
import { containerName, factsFromAnswer, pixelFormat } from "./facts.ts";
import { measureTimes } from "./packet-times.ts";

/** As ffprobe 5.1 prints a stream (field names and "unknown" seen in its output). */
const picture = {
  index: 0,
  codec_type: "video",
  codec_name: "h264",
  codec_tag_string: "[0][0][0][0]",
  profile: "High",
  width: 1920,
  height: 1080,
  sample_aspect_ratio: "1:1",
  pix_fmt: "yuv420p10le",
  color_range: "tv",
  color_space: "bt709",
  color_transfer: "unknown",
  r_frame_rate: "50/1",
  avg_frame_rate: "25/1",
  time_base: "1/1000",
  start_time: "1.400000",
};
const answerOf = (stream: object, format: object = {}): ProbeAnswer => {
  const checked = parseAnswer(
    JSON.stringify({
      streams: [{ ...picture, ...stream }],
      format: { format_name: "matroska,webm", duration: "2.5", ...format },
    }),
  );
  if ("fault" in checked) throw new Error(checked.fault);
  return checked;
};
const factsOf = (stream: object = {}, format: object = {}) =>
  factsFromAnswer(answerOf(stream, format), "A/clip.mkv", "ffprobe 5.1", undefined);

test("a missing field order is unknown, never progressive", () => {
  expect(factsOf().scan).toMatchObject({ state: "absent" });
  expect(valueOf(factsOf({ field_order: "progressive" }).scan)).toBe("progressive");
  expect(valueOf(factsOf({ field_order: "tt" }).scan)).toBe("top field first");
  expect(valueOf(factsOf({ field_order: "bt" }).scan)).toBe("bottom field first");
});

test("the guess of the smallest rate is never taken for the frame rate", () => {
  const rate = valueOf(factsOf().frameRate);
  expect(rate === undefined ? "" : ratioText(rate)).toBe("25/1");
  expect(factsOf({ avg_frame_rate: "0/0" }).frameRate).toMatchObject({ state: "absent" });
});

test("its angle is counted the other way round", () => {
  const turned = (rotation: number) =>
    valueOf(factsOf({ side_data_list: [{ side_data_type: "Display Matrix", rotation }] }).rotationDegrees);
  expect([turned(-90), turned(90), turned(180), turned(-180), turned(0)]).toEqual([90, 270, 180, 180, 0]);
  expect(valueOf(factsOf().rotationDegrees)).toBe(0);
});

test("unknown colour is absent; a missing frame count is absent; a start is not a duration", () => {
  const facts = factsOf({ duration: "2.000000" });
  expect(facts.transfer).toMatchObject({ state: "absent" });
  expect(valueOf(facts.matrix)).toBe("bt709");
  expect(facts.sampleEntry).toMatchObject({ state: "absent" });
  expect(facts.frames).toMatchObject({ state: "absent" });
  expect(ratioText(valueOf(facts.startSeconds) ?? { numerator: 0n, denominator: 1n })).toBe("7/5");
  expect(ratioText(valueOf(facts.durationSeconds) ?? { numerator: 0n, denominator: 1n })).toBe("2/1");
});

test("packet times decide over what is claimed", () => {
  const gaps = [40, 120, 40, 80, 40, 40, 120, 80];
  let at = 0;
  const measured = measureTimes([0, ...gaps.map((gap) => (at += gap))], 1000);
  if (measured === undefined) throw new Error("no measure");
  const facts = factsFromAnswer(answerOf({ avg_frame_rate: "25/1", r_frame_rate: "25/1" }), "c.mkv", "ffprobe 5.1", {
    measured,
    frames: 9,
    wholeFile: true,
  });
  expect(valueOf(facts.timing)?.kind).toBe("variable");
  expect(valueOf(facts.frames)).toBe(9);
  // 560 ms from the first picture to the last, which lasts as long as most do; the header said 2.5 s.
  expect(valueOf(facts.durationSeconds)).toEqual({ numerator: 3n, denominator: 5n });
  const part = factsFromAnswer(answerOf({}), "c.mkv", "ffprobe 5.1", { measured, frames: 9, wholeFile: false });
  expect(valueOf(part.timing)?.stretchSeconds).toBeCloseTo(0.56);
  expect(part.frames).toMatchObject({ state: "absent" });
});

test("timecode and clock come from tags, and a wrong one is damage", () => {
  const facts = factsOf({}, { tags: { timecode: "10:00:00:00", creation_time: "2031-04-05T06:07:08.000000Z" } });
  expect(valueOf(facts.timecode)).toMatchObject({ start: "10:00:00:00", labelsPerSecond: 25 });
  expect(valueOf(facts.createdAt)).toMatchObject({ zone: "utc", epochMilliseconds: Date.UTC(2031, 3, 5, 6, 7, 8) });
  expect(factsOf({}, { tags: { timecode: "99:00:00:00" } }).timecode).toMatchObject({ state: "damaged" });
  expect(factsOf({}, { tags: { creation_time: "soon" } }).createdAt).toMatchObject({ state: "damaged" });
});

test("a cover image is no picture track", () => {
  const cover = parseAnswer(
    JSON.stringify({
      streams: [{ ...picture, codec_name: "mjpeg", disposition: { attached_pic: 1 } }],
      format: { format_name: "mov,mp4" },
    }),
  );
  if ("fault" in cover) throw new Error(cover.fault);
  expect(factsFromAnswer(cover, "a.m4a", "ffprobe 5.1", undefined)).toEqual({ container: expect.anything() });
});

test("sound starts are told against the picture", () => {
  const sound = {
    index: 1,
    codec_type: "audio",
    codec_name: "aac",
    channels: 2,
    sample_rate: "48000",
    start_time: "1.500000",
    duration: "2",
  };
  const checked = parseAnswer(JSON.stringify({ streams: [picture, sound], format: { format_name: "mpegts" } }));
  if ("fault" in checked) throw new Error(checked.fault);
  const facts = factsFromAnswer(checked, "a.ts", "ffprobe 5.1", undefined);
  expect(valueOf(facts.sound)).toMatchObject({
    sampleRateHertz: 48000,
    startSeconds: { numerator: 1n, denominator: 10n },
  });
});

test("pixel formats give depth and chroma, and an unknown one gives nothing", () => {
  expect(pixelFormat("yuv420p")).toEqual({ bitDepth: 8, chroma: "4:2:0" });
  expect(pixelFormat("yuvj422p")).toEqual({ bitDepth: 8, chroma: "4:2:2" });
  expect(pixelFormat("yuv422p10le")).toEqual({ bitDepth: 10, chroma: "4:2:2" });
  expect(pixelFormat("gray12be")).toEqual({ bitDepth: 12, chroma: "4:0:0" });
  expect(pixelFormat("bayer_rggb16le")).toBeUndefined();
  expect(pixelFormat(undefined)).toBeUndefined();
});

test("an answer of the wrong shape is a fault that names the place", () => {
  expect(parseAnswer("{}")).toMatchObject({ fault: expect.stringContaining("streams") });
  expect(
    parseAnswer(JSON.stringify({ streams: [{ ...picture, width: -4 }], format: { format_name: "a" } })),
  ).toMatchObject({
    fault: expect.stringContaining("streams.0.width"),
  });
  expect(containerName("mov,mp4,m4a,3gp,3g2,mj2")).toBe("iso-bmff");
  expect(containerName("flv")).toBe("flv");
});

test("a header that ends with the start of the last picture is believed; one that is further off is not", () => {
  const measured = measureTimes(
    Array.from({ length: 50 }, (_, frame) => frame * 40),
    1000,
  );
  if (measured === undefined) throw new Error("no measure");
  const lengthBy = (header: string): string => {
    const { durationSeconds } = factsFromAnswer(answerOf({}, { duration: header }), "c.mkv", "ffprobe 5.1", {
      measured,
      frames: 50,
      wholeFile: true,
    });
    const value = valueOf(durationSeconds);
    return value === undefined ? "" : ratioText(value);
  };
  expect(lengthBy("1.960000")).toBe("49/25");
  expect(lengthBy("2.000000")).toBe("2/1");
  // Sound that lasts longer, and a header left over from a longer recording or a cut one.
  expect(lengthBy("2.021000")).toBe("2/1");
  expect(lengthBy("60.000000")).toBe("2/1");
  expect(lengthBy("1.000000")).toBe("2/1");
});

test("a rate of no standard that both claims name and the times allow is taken to the letter", () => {
  const measured = measureTimes(
    Array.from({ length: 90 }, (_, frame) => Math.round((frame * 1000) / 35)),
    1000,
  );
  if (measured === undefined) throw new Error("no measure");
  const stretch = { measured, frames: 90, wholeFile: true };
  const rateBy = (claim: string): string => {
    const answer = answerOf({ avg_frame_rate: claim, r_frame_rate: claim });
    const value = valueOf(factsFromAnswer(answer, "c.mkv", "ffprobe 5.1", stretch).frameRate);
    return value === undefined ? "" : ratioText(value);
  };
  expect(rateBy("35/1")).toBe("35/1");
  expect(rateBy("36/1")).not.toBe("36/1");
});

test("a stated count goes before the packets, which become a witness; the length follows the packets", () => {
  const measured = measureTimes(
    Array.from({ length: 50 }, (_, frame) => frame),
    25,
  );
  if (measured === undefined) throw new Error("no measure");
  const answer = answerOf({ nb_frames: "60" }, { format_name: "avi" });
  const facts = factsFromAnswer(answer, "c.avi", "ffprobe 5.1", { measured, frames: 50, wholeFile: true });
  expect(facts.frames).toMatchObject({ state: "read", value: 60, witnesses: [{ value: 50, agrees: false }] });
  expect(valueOf(facts.durationSeconds)).toEqual({ numerator: 2n, denominator: 1n });
});
