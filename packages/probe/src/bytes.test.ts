import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { openCounted, openReusing } from "./bytes.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-bytes-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const made = (name: string, bytes: number, value: number): string => {
  const path = join(folder, name);
  writeFileSync(path, new Uint8Array(bytes).fill(value));
  return path;
};

test("memory given back by one file serves the next, and shows nothing of it", async () => {
  const first = await openReusing(made("first", 100_000, 1));
  const before = await first.read(0, 100_000);
  await first.close();
  const second = await openReusing(made("second", 90_000, 2));
  const after = await second.read(0, 100_000);
  expect(after.buffer).toBe(before.buffer);
  expect(after.length).toBe(90_000);
  expect(after.every((byte) => byte === 2)).toBe(true);
  await second.close();
});

test("two reads of one open file, and files open at once, never share memory", async () => {
  const files = await Promise.all([1, 2, 3].map((value) => openReusing(made(`open-${value}`, 100_000, value))));
  const reads = await Promise.all(files.flatMap((file) => [file.read(0, 70_000), file.read(0, 70_000)]));
  expect(new Set(reads.map((bytes) => bytes.buffer)).size).toBe(6);
  reads.forEach((bytes, place) => expect(bytes.every((byte) => byte === 1 + Math.floor(place / 2))).toBe(true));
  await Promise.all(files.map((file) => file.close()));
});

test("a second close gives no memory back twice", async () => {
  const file = await openReusing(made("twice", 200_000, 1));
  await file.read(0, 200_000);
  await file.close();
  await file.close().catch(() => undefined);
  const [a, b] = await Promise.all([openReusing(made("a", 200_000, 2)), openReusing(made("b", 200_000, 3))]);
  const [left, right] = await Promise.all([a.read(0, 200_000), b.read(0, 200_000)]);
  expect(left.buffer).not.toBe(right.buffer);
  await Promise.all([a.close(), b.close()]);
});

test("bytes of a file opened to be kept stay as they were read", async () => {
  const kept = await openCounted(made("kept", 100_000, 5));
  const bytes = await kept.read(0, 100_000);
  await kept.close();
  const next = await openReusing(made("next", 100_000, 6));
  await next.read(0, 100_000);
  await next.close();
  expect(bytes.every((byte) => byte === 5)).toBe(true);
});
