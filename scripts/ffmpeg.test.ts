import { afterEach, expect, test, vi } from "vitest";
import { encode, findEncoder } from "./ffmpeg.ts";

afterEach(() => vi.unstubAllEnvs());

test("without a setting and with an empty PATH the encoder of the packages is found", async () => {
  vi.stubEnv("FFMPEG_PATH", "");
  vi.stubEnv("PATH", "");
  const encoder = await findEncoder();
  expect(encoder.origin).toBe("the package @ffmpeg-installer/ffmpeg");
  expect(encoder.version).toMatch(/^ffmpeg version /);
});

test("a setting that names nothing that runs is an error, not a reason to take another encoder", async () => {
  vi.stubEnv("FFMPEG_PATH", "/no/such/encoder");
  await expect(findEncoder()).rejects.toThrow("FFMPEG_PATH is /no/such/encoder");
});

test("a failing encode says what the encoder said", async () => {
  const encoder = await findEncoder();
  await expect(encode(encoder, ["-i", "/no/such/clip.mp4", "-f", "null", "-"])).rejects.toThrow(/No such file/);
});
