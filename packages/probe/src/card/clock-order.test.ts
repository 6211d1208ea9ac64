import { read } from "@goodgate/model";
import { expect, test } from "vitest";
import { clockOrderRemarks } from "./clock-order.ts";
import { madeClip } from "./made-clip.ts";

const clip = (number: number, startSeconds: number) =>
  madeClip({ name: `DCIM/100MEDIA/ABCD${String(number).padStart(4, "0")}.MP4`, startSeconds });
const said = (...clips: readonly ReturnType<typeof madeClip>[]) => clockOrderRemarks(clips).map(({ says }) => says);

test("a later number with an earlier clock is a remark that names both and the step", () => {
  expect(clockOrderRemarks([clip(2, 0), clip(1, 7200)])).toEqual([
    {
      kind: "clock-runs-back",
      says: "the clock of DCIM/100MEDIA/ABCD0002.MP4 is 2 h before that of DCIM/100MEDIA/ABCD0001.MP4, numbered earlier: it was changed in between",
      paths: ["DCIM/100MEDIA/ABCD0001.MP4", "DCIM/100MEDIA/ABCD0002.MP4"],
    },
  ]);
  expect(said(clip(1, 3 * 86_400), clip(2, 0))[0]).toContain("3 days before");
});

test("clips in order, and steps of a minute at most, are none", () => {
  expect(said(clip(1, 0), clip(2, 60), clip(3, 60))).toEqual([]);
  expect(said(clip(1, 60), clip(2, 0))).toEqual([]);
  expect(said(clip(1, 61), clip(2, 0))).toHaveLength(1);
});

test("a count that began anew, another camera and a clock in doubt are not compared", () => {
  expect(said(clip(1, 9000), clip(9999, 0))).toEqual([]);
  const origin = { kind: "container", file: "x", place: "test" } as const;
  const other = madeClip({ name: "ABCD0002.MP4", startSeconds: 0, facts: { cameraModel: read("other", origin) } });
  expect(said(clip(1, 9000), other)).toEqual([]);
  const doubted = { text: "x", zone: "utc", epochMilliseconds: 0, suspect: "start of an epoch" } as const;
  const unset = madeClip({ name: "ABCD0002.MP4", facts: { createdAt: read(doubted, origin) } });
  expect(said(clip(1, 9000), unset)).toEqual([]);
  const local = { text: "x", zone: "unknown", epochMilliseconds: 0 } as const;
  expect(said(clip(1, 9000), madeClip({ name: "ABCD0002.MP4", facts: { createdAt: read(local, origin) } }))).toEqual(
    [],
  );
});

test("thousands of clips whose clock falls give a bounded list", () => {
  const clips = Array.from({ length: 5000 }, (_, at) => clip(at + 1, (5000 - at) * 100));
  expect(clockOrderRemarks(clips)).toHaveLength(16);
});
