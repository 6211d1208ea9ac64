import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { findEncoder } from "../../../scripts/ffmpeg.ts";
import { samplesFolder } from "../../../fixtures/places.ts";
import { decodeStretch } from "./decode.ts";
import { frameLayout } from "./frame-layout.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-decode-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const { signal } = new AbortController();

test("a program that takes its time to end after its last picture has ended well", async () => {
  const { path } = await findEncoder();
  const slow = join(folder, "ffmpeg");
  writeFileSync(slow, `#!/bin/sh\n'${path}' "$@"\nended=$?\nexec 1>&-\nsleep 0.5\nexit $ended\n`, { mode: 0o755 });
  const layout = frameLayout({ width: 320, height: 180, frameRate: 24, durationSeconds: 2 });
  const clip = join(samplesFolder, "mp4-cfr-24/clip.mp4");
  const end = await decodeStretch(slow, clip, layout, undefined, () => undefined, signal);
  expect([end.frames, end.fault]).toEqual([48, undefined]);
});
