import { type Origin, type Ratio, ratio, read, type Reading } from "@goodgate/model";
import { expect, test } from "vitest";
import type { Stretch } from "./facts.ts";
import { frameCount } from "./frame-count.ts";
import { measureTimes } from "./packet-times.ts";

const at = (place: string, kind: Origin["kind"] = "container"): Origin => ({ kind, file: "clip.mkv", place });
const length = (seconds: Ratio): Reading<Ratio> => read(seconds, at("format duration"));
/** Times of `frames` pictures at 25 a second on a clock of milliseconds. */
const stretch = (frames: number, wholeFile: boolean): Stretch => {
  const measured = measureTimes(
    Array.from({ length: frames }, (_, place) => place * 40),
    1000,
  );
  return { frames, wholeFile, ...(measured === undefined ? {} : { measured }) };
};
const counted = (tags: Record<string, string>, of: Stretch | undefined, seconds: Ratio, nb_frames?: string) =>
  frameCount({ index: 0, tags, ...(nb_frames === undefined ? {} : { nb_frames }) }, of, length(seconds), at);

// Tag registry of Matroska (IETF CELLAR, matroska-tags): NUMBER_OF_FRAMES, a statistic of the track; mkvmerge 74 wrote
// it as NUMBER_OF_FRAMES, earlier ones with the language behind it.
test("the statistics tag states the count where no packet could be counted", () => {
  for (const name of ["NUMBER_OF_FRAMES", "NUMBER_OF_FRAMES-eng"]) {
    expect(counted({ [name]: "3000" }, stretch(125, false), ratio(120n))).toMatchObject({
      state: "read",
      value: 3000,
      origin: { kind: "container", place: `stream 0 tag ${name}` },
    });
  }
});

test("a tag that length and interval contradict is not believed, and why is told", () => {
  const stale = counted({ NUMBER_OF_FRAMES: "1500" }, stretch(125, false), ratio(120n));
  expect(stale).toEqual({
    state: "absent",
    why: "the tag NUMBER_OF_FRAMES states 1500 frames, and length and interval make 3000",
  });
  for (const text of ["0", "-5", "many", "1e9", ""]) {
    expect(counted({ NUMBER_OF_FRAMES: text }, stretch(125, false), ratio(120n))).toMatchObject({ state: "absent" });
  }
});

test("packets that were all read go before the tag, and a header before both", () => {
  expect(counted({ NUMBER_OF_FRAMES: "60" }, stretch(50, true), ratio(2n))).toMatchObject({
    value: 50,
    origin: { kind: "measured" },
    witnesses: [{ value: 60, agrees: false }],
  });
  expect(counted({ NUMBER_OF_FRAMES: "50" }, stretch(50, true), ratio(2n))).not.toHaveProperty("witnesses");
  expect(counted({}, stretch(50, true), ratio(2n), "52")).toMatchObject({
    value: 52,
    witnesses: [{ value: 50, agrees: false }],
  });
});

test("without any count the reason says that a stretch was read", () => {
  expect(counted({}, stretch(126, false), ratio(120n))).toEqual({
    state: "absent",
    why: "the container has no frame count, and of the packets only a stretch of 5.0 s was read",
  });
  expect(counted({}, undefined, ratio(120n))).toEqual({ state: "absent", why: "the container has no frame count" });
});
