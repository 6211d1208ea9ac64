import { expect, test } from "vitest";
import { confirmProxies, proxyRemarks } from "./confirm-proxies.ts";
import { type MadeClip, madeClip } from "./made-clip.ts";

const names = (...plans: readonly MadeClip[]) =>
  confirmProxies(plans.map(madeClip)).map((clip) => clip.files.map((file) => `${file.role} ${file.path}`));

test("same stem, same length, lower raster, same folder: a low-resolution copy", () => {
  expect(names({ name: "A/x1.MP4", width: 1280 }, { name: "A/x1.MOV" })).toEqual([
    ["original A/x1.MOV", "proxy A/x1.MP4"],
  ]);
  expect(names({ name: "A/x1.MP4", width: 1280, frames: 251 }, { name: "A/x1.MOV" })).toHaveLength(1);
});

test("another length or the same raster are recordings of their own", () => {
  expect(names({ name: "A/x1.MP4", width: 1280, frames: 252 }, { name: "A/x1.MOV" })).toHaveLength(2);
  expect(names({ name: "A/x1.MP4" }, { name: "A/x1.MOV" })).toHaveLength(2);
});

test("in another folder the clock must agree too: one name in two folders is legal", () => {
  const large: MadeClip = { name: "100A/X0001.MP4", startSeconds: 0 };
  expect(names(large, { name: "101A/X0001.MP4", width: 1280, startSeconds: 1 })).toHaveLength(1);
  expect(names(large, { name: "101A/X0001.MP4", width: 1280, startSeconds: 3700 })).toHaveLength(2);
  expect(names({ name: "100A/X0001.MP4" }, { name: "101A/X0001.MP4", width: 1280 })).toHaveLength(2);
});

test("a copy that could be of two originals is of neither", () => {
  const clips = names({ name: "A/x.MP4", width: 1280 }, { name: "A/x.MOV" }, { name: "A/x.MXF" });
  expect(clips).toHaveLength(3);
});

test("a copy beside its original that does not fit is told, never judged as a clip", () => {
  const clip = madeClip({ name: "A/x.MP4" });
  const files = [...clip.files, { path: "A/x.LRV", bytes: 1, modifiedMilliseconds: 0, role: "proxy" as const }];
  const pair = (plan: Partial<MadeClip>) => [
    { ...clip, files, proxyFacts: madeClip({ name: "A/x.LRV", width: 1280, ...plan }).facts },
  ];
  expect(proxyRemarks(pair({}))).toEqual([]);
  expect(proxyRemarks(pair({ frames: 200 }))).toMatchObject([{ kind: "proxy-differs", paths: ["A/x.MP4", "A/x.LRV"] }]);
  expect(proxyRemarks(pair({ width: 3840 }))[0]?.says).toContain("raster");
});
