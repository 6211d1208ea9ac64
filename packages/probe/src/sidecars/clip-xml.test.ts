import { valueOf } from "@goodgate/model";
import { expect, test } from "vitest";
import { readClipXml } from "./clip-xml.ts";

const document = (inside: string): Buffer =>
  Buffer.from(`<?xml version="1.0" encoding="UTF-8"?><Meta xmlns="urn:example:meta:ver.2.00">${inside}</Meta>`);
const facts = (inside: string, interlaced = false) => {
  const found = readClipXml(document(inside), "CLIP/C0001M01.XML", interlaced);
  if ("fault" in found || "notClipXml" in found) throw new Error("not read");
  return found;
};
const rates = (capture: string, format: string, interlaced = false) => {
  const found = facts(
    `<VideoFormat><VideoFrame captureFps="${capture}" formatFps="${format}"/></VideoFormat>`,
    interlaced,
  );
  return [valueOf(found.captureRate), valueOf(found.frameRate)];
};

test("a rate is a number and the way it counts; 59.94 is 60000/1001", () => {
  expect(rates("100p", "25p")).toEqual([
    { numerator: 100n, denominator: 1n },
    { numerator: 25n, denominator: 1n },
  ]);
  expect(rates("119.88p", "59.94p")).toEqual([
    { numerator: 120000n, denominator: 1001n },
    { numerator: 60000n, denominator: 1001n },
  ]);
  expect(rates("23.98p", "23.98PsF")[1]).toEqual({ numerator: 24000n, denominator: 1001n });
});

test("50i is 25 frames when the clip says interlaced, and 25i stays 25", () => {
  expect(rates("50i", "50i", true)[1]).toEqual({ numerator: 25n, denominator: 1n });
  expect(rates("25i", "25i", true)[1]).toEqual({ numerator: 25n, denominator: 1n });
  expect(rates("50i", "50i", false)[1]).toEqual({ numerator: 50n, denominator: 1n });
});

test("what is no rate is damage, never a number", () => {
  for (const text of ["fast", "", "0p", "-25p", "9999p", "1e3p", "25p; DROP"]) {
    const found = facts(`<VideoFrame captureFps="${text}"/>`);
    expect([text, found.captureRate?.state]).toEqual([text, "damaged"]);
  }
});

const code = (value: string, fps: string) =>
  facts(
    `<CreationDate value="2031-04-05T08:07:08+02:00"/><LtcChangeTable tcFps="${fps}"><LtcChange frameCount="0" value="${value}"/></LtcChangeTable>`,
  ).timecode;
expect(valueOf(code("04030201", "25"))).toMatchObject({ start: "01:02:03:04", startFrame: 93_079 });

test("timecode digits run from frames to hours, and the drop flag is a bit of the frames", () => {
  expect(valueOf(code("44030201", "30"))).toMatchObject({ start: "01:02:03;04", dropFrame: true });
  expect(code("0A030201", "25")).toMatchObject({ state: "damaged" });
  expect(code("04790201", "25")).toMatchObject({ state: "damaged" });
  expect(code("4030201", "25")).toMatchObject({ state: "damaged" });
  expect(code("04030201", "fast")).toMatchObject({ state: "damaged" });
});

test("another document is not clip metadata, and a broken one is a fault", () => {
  expect(readClipXml(document("<Disc/>"), "a.xml", false)).toEqual({ notClipXml: true });
  expect(readClipXml(document("<VideoFrame"), "a.xml", false)).toHaveProperty("fault");
  expect(readClipXml(Buffer.from(`<!DOCTYPE a []><VideoFrame/>`), "a.xml", false)).toEqual({
    fault: "a DOCTYPE is refused",
  });
  expect(readClipXml(Buffer.alloc(0), "a.xml", false)).toEqual({ fault: "empty" });
});
