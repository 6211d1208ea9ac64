import { join } from "node:path";
import { expect, test } from "vitest";
import { demoCardFolder } from "../../../fixtures/places.ts";
import { findEncoder } from "../../../scripts/ffmpeg.ts";
import { makeFilmstrip } from "./filmstrip.ts";

const { signal } = new AbortController();
const clip = (name: string): string => join(demoCardFolder, "DCIM/100FLYER", name);

test("a poster and six frames come as one small JPEG, of a 4K clip, of 10 bits and of a turned one", async () => {
  const { path } = await findEncoder();
  for (const name of ["FLY_0001.MP4", "FLY_0003.MP4", "FLY_0017.MP4"]) {
    const strip = await makeFilmstrip(path, clip(name), 2, signal);
    if ("fault" in strip) throw new Error(`${name}: ${strip.fault}`);
    expect(strip.atSeconds).toHaveLength(6);
    expect(strip.jpeg.length).toBeLessThan(200_000);
    // ITU-T T.81: the frame header SOF0 (FF C0) holds height and width after length and precision.
    const header = strip.jpeg.indexOf(Buffer.from([0xff, 0xc0]));
    expect([strip.jpeg.readUInt16BE(header + 7), strip.jpeg.readUInt16BE(header + 5)]).toEqual([1280, 288]);
  }
});

test("a recording without an index gives a sentence, and an abort ends it", async () => {
  const { path } = await findEncoder();
  expect(await makeFilmstrip(path, clip("FLY_0011.MP4"), 2, signal)).toEqual({
    fault: "its key frames could not be decoded",
  });
  const controller = new AbortController();
  const making = makeFilmstrip(path, clip("FLY_0001.MP4"), 2, controller.signal);
  controller.abort();
  await expect(making).rejects.toThrow();
});
