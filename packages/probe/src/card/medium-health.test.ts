import { expect, test } from "vitest";
import { madeClip } from "./made-clip.ts";
import { mediumRemarks } from "./medium-health.ts";

const failing = (name: string, failures: number) => {
  const clip = madeClip({ name });
  return { ...clip, cost: { ...clip.cost, failures } };
};

test("files the system could not read make one remark that names them", () => {
  expect(mediumRemarks([madeClip({ name: "A.MP4" })], [])).toEqual([]);
  expect(mediumRemarks([failing("A.MP4", 1), madeClip({ name: "B.MP4" }), failing("C.MP4", 0)], [])).toEqual([
    {
      kind: "medium-fails",
      says: "the system could not read A.MP4: copy what still reads, then retire the card",
      paths: ["A.MP4"],
    },
  ]);
  const many = Array.from({ length: 40 }, (_, at) => failing(`${at}.MP4`, 2));
  const [remark] = mediumRemarks(many, []);
  expect(remark?.says).toBe(
    "the system could not read 0.MP4, 1.MP4, 2.MP4 and 37 more: copy what still reads, then retire the card",
  );
  expect(remark?.paths).toHaveLength(40);
});
