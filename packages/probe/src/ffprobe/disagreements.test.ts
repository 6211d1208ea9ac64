import { absent, type Facts, type Origin, rate, ratio, read, seconds, type Sound } from "@goodgate/model";
import { expect, test } from "vitest";
import { disagreements } from "./disagreements.ts";

const origin: Origin = { kind: "container", file: "A.MP4", place: "moov" };
const told = (ours: Facts, theirs: Facts): readonly string[] =>
  disagreements(ours, theirs, "ffprobe 6.0").map(({ fact, ours: a, theirs: b }) => `${fact}: ${a} | ${b}`);
const sound = (change: Partial<Sound> = {}): Sound => ({
  codec: "aac",
  channels: 2,
  sampleRateHertz: 48_000,
  durationSeconds: seconds(2),
  startSeconds: seconds(0),
  ...change,
});

test("the mean of a coarse clock is no other rate, a rate thrown off by the last frame is", () => {
  const film = { frameRate: read(rate(24_000, 1001), origin) };
  expect(told(film, { frameRate: read(rate(28_800, 1201), origin) })).toEqual([]);
  expect(told({ frameRate: read(rate(25), origin) }, { frameRate: read(rate(1_250_000, 49_021), origin) })).toEqual([
    "frameRate: 25/1 | 1250000/49021",
  ]);
  expect(told({ frameRate: read(rate(30), origin) }, { frameRate: read(rate(30_000, 1001), origin) })).toHaveLength(1);
});

test("pixel aspect and sound are compared too", () => {
  expect(
    told(
      { pixelAspect: read(ratio(4n, 3n), origin), sound: read(sound(), origin) },
      { pixelAspect: read(ratio(1n), origin), sound: read(sound({ channels: 6 }), origin) },
    ),
  ).toEqual(["pixelAspect: 4/3 | 1/1", "sound: aac, 2 channels, 48000 Hz | aac, 6 channels, 48000 Hz"]);
  const late = read(sound({ startSeconds: seconds(1, 2) }), origin);
  expect(told({ sound: read(sound(), origin) }, { sound: late })).toEqual([]);
});

test("silence is no contradiction, and a frame more or less is no other length", () => {
  expect(told({ codec: read("h264", origin) }, { codec: absent("not stated") })).toEqual([]);
  const base = { frameRate: read(rate(25), origin) };
  const lasts = (time: number): Facts => ({ ...base, durationSeconds: read(seconds(time, 100), origin) });
  expect(told(lasts(200), lasts(204))).toEqual([]);
  expect(told(lasts(200), lasts(205))).toEqual(["durationSeconds: 2/1 | 41/20"]);
});
