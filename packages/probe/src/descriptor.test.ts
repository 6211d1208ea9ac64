import { mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import fs from "node:fs";
import { syncBuiltinESMExports } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeEach, expect, test } from "vitest";
import { openCounted } from "./bytes.ts";
import { type Descriptor, isRemote, noteCall, openDescriptor, pace, suitPace } from "./descriptor.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-descriptor-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const path = join(folder, "clip");
writeFileSync(
  path,
  Uint8Array.from({ length: 1000 }, (_, place) => place % 251),
);

beforeEach(() => Object.assign(pace, { quick: true, calls: 0, milliseconds: 0 }));

const bytesOf = async (file: Descriptor, position: number, length: number): Promise<readonly number[]> => {
  const buffer = Buffer.alloc(length);
  return [...buffer.subarray(0, await file.read(buffer, 0, length, position))];
};

test("both ways of asking give the same bytes, size and end of file", async () => {
  for (const quick of [true, false]) {
    pace.quick = quick;
    const file = await openDescriptor(path);
    expect((await file.stat()).size).toBe(1000);
    expect(await bytesOf(file, 250, 3)).toEqual([250, 0, 1]);
    expect(await bytesOf(file, 998, 9)).toEqual([998 % 251, 999 % 251]);
    expect(await bytesOf(file, 5000, 9)).toEqual([]);
    await file.close();
  }
});

test("both ways leave the time of last access alone where the owner reads", async () => {
  for (const quick of [true, false]) {
    pace.quick = quick;
    const before = statSync(path).atimeMs;
    const file = await openDescriptor(path);
    await bytesOf(file, 0, 100);
    await file.close();
    expect(statSync(path).atimeMs).toBe(before);
  }
});

test("a missing file is the system's error either way", async () => {
  for (const quick of [true, false]) {
    pace.quick = quick;
    await expect(openDescriptor(join(folder, "none"))).rejects.toMatchObject({ code: "ENOENT" });
  }
});

test("a closed file is never read again, though its number may be another file's by then", async () => {
  const first = await openDescriptor(path);
  await first.close();
  await first.close();
  const second = await openDescriptor(path);
  await expect(async () => await bytesOf(first, 0, 1)).rejects.toMatchObject({ code: "EBADF" });
  await first.close();
  expect(await bytesOf(second, 0, 2)).toEqual([0, 1]);
  await second.close();
});

test("one long wait, or calls that are long on average, end the asking at once; copying many bytes is no wait", () => {
  for (let call = 0; call < 100; call += 1) noteCall(0.3, 16_384);
  noteCall(64, 64_000_000);
  expect(pace.quick).toBe(true);
  noteCall(80, 16_384);
  expect(pace.quick).toBe(false);

  Object.assign(pace, { quick: true, calls: 0, milliseconds: 0 });
  for (let call = 0; call < 11; call += 1) noteCall(5, 16_384);
  expect(pace.quick).toBe(true);
  noteCall(5, 16_384);
  expect(pace.quick).toBe(false);
});

test("a medium that makes its readers wait is asked in the background from then on", async () => {
  const original = fs.readSync as (...args: unknown[]) => number;
  const clock = new Int32Array(new SharedArrayBuffer(4));
  let calls = 0;
  fs.readSync = ((...args: unknown[]) => {
    calls += 1;
    Atomics.wait(clock, 0, 0, 60);
    return original(...args);
  }) as typeof fs.readSync;
  syncBuiltinESMExports();
  try {
    for (let clip = 0; clip < 5; clip += 1) {
      const file = await openCounted(path);
      expect((await file.read(0, 4)).length).toBe(4);
      await file.close();
    }
  } finally {
    fs.readSync = original as typeof fs.readSync;
    syncBuiltinESMExports();
  }
  expect(calls).toBe(1);
});

test("timers and signals are served between files and during long ones, though reads are asked at once", async () => {
  let turns = 0;
  const timer = setInterval(() => (turns += 1), 1);
  const file = await openDescriptor(path);
  const began = performance.now();
  while (performance.now() - began < 300) await bytesOf(file, 0, 1000);
  await file.close();
  clearInterval(timer);
  expect(turns).toBeGreaterThan(1);
});

test("what another machine or program answers for is asked in the background from the first call on", async () => {
  // linux/magic.h and statfs(2): FUSE, NFS, SMB2, CIFS against ext4, tmpfs, btrfs, exFAT and FAT.
  expect([0x65735546, 0x6969, 0xfe534d42, 0xff534d42].map(isRemote)).toEqual([true, true, true, true]);
  expect([0xef53, 0x01021994, 0x9123683e, 0x2011bab0, 0x4d44].map(isRemote)).not.toContain(true);
  // A 32-bit number may come with its sign.
  expect(isRemote(0xff534d42 | 0)).toBe(true);
  await suitPace([folder, join(folder, "none")]);
  expect(pace.quick).toBe(true);
});
