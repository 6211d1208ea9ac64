import { join } from "node:path";
import type { Report } from "@goodgate/report";
import { afterAll, beforeAll, expect, test } from "vitest";
import { samplesFolder } from "../../../../fixtures/places.ts";
import { madeIo } from "../made-io.ts";
import { audit } from "./audit.ts";

const before = process.env["PATH"];
// The bundled ffprobe alone, so that every machine has the same second reader.
beforeAll(() => {
  process.env["PATH"] = "";
  delete process.env["FFPROBE_PATH"];
});
afterAll(() => {
  process.env["PATH"] = before;
});

async function reportOf(sample: string, secondReader: boolean): Promise<Report> {
  const io = madeIo();
  const options = { timeline: "25", json: true, secondReader, cache: false } as const;
  await audit([join(samplesFolder, sample)], options, io);
  return JSON.parse(io.printed.join("")) as Report;
}
const said = (report: Report): readonly string[] =>
  report.clips.flatMap((clip) =>
    clip.findings.filter(({ rule }) => rule === "reader-disagreement").map(({ says }) => says),
  );

test("with a second reader every disagreement is a finding, and the report names who spoke", async () => {
  const report = await reportOf("mp4-last-delta", true);
  expect(report.clips[0]?.readers).toEqual(["goodgate", expect.stringMatching(/^ffprobe /)]);
  expect(said(report)).toEqual([expect.stringMatching(/^The frame rate is 25\/1 here and 1250000\/49021 to ffprobe/)]);
  const colour = said(await reportOf("mp4-colr-vs-vui", true));
  expect(colour.some((says) => says.includes("bt2020nc here and bt709"))).toBe(true);
});

test("readers that agree are no finding; without a second reader no other program is asked", async () => {
  expect(said(await reportOf("mp4-moov-end", true))).toEqual([]);
  const alone = await reportOf("mp4-last-delta", false);
  expect(said(alone)).toEqual([]);
  expect(alone.clips[0]?.readers).toEqual(["goodgate"]);
});

test("what goodgate cannot read itself is read by ffprobe, and the report says so", async () => {
  const { clips } = await reportOf("mkv-srt-track", false);
  expect(clips[0]?.readers).toEqual([expect.stringMatching(/^ffprobe /)]);
  expect(clips[0]?.facts["timing"]?.origin?.reader).toMatch(/^ffprobe /);
});
