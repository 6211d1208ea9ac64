import { expect, test } from "vitest";
import { withBoundedCounts } from "./exif-counts.ts";

/** A TIFF of one directory with one tag: type and count as given. */
function tiff(type: number, count: number, little: boolean): Uint8Array {
  const bytes = new Uint8Array(64);
  bytes.set(little ? [0x49, 0x49, 0x2a, 0] : [0x4d, 0x4d, 0, 0x2a]);
  const view = new DataView(bytes.buffer);
  view.setUint32(4, 8, little);
  view.setUint16(8, 1, little);
  view.setUint16(10, 0x829a, little);
  view.setUint16(12, type, little);
  view.setUint32(14, count, little);
  return bytes;
}

test("a tag that claims more values than there are bytes is given none, in either byte order", () => {
  for (const little of [true, false]) {
    const bounded = withBoundedCounts(tiff(5, 30_000_000, little));
    expect(new DataView(bounded.buffer).getUint32(14, little)).toBe(0);
  }
});

test("bytes without excess come back as they are, and the bytes handed in are never changed", () => {
  const honest = tiff(5, 1, true);
  expect(withBoundedCounts(honest)).toBe(honest);
  const lying = tiff(3, 0xffffffff, true);
  const before = Uint8Array.from(lying);
  withBoundedCounts(lying);
  expect(lying).toEqual(before);
});

test("directories that go in a circle, lie outside or are cut end the search", () => {
  const circle = tiff(4, 1, true);
  new DataView(circle.buffer).setUint32(22, 8, true);
  expect(withBoundedCounts(circle)).toBe(circle);
  for (let length = 0; length < 64; length += 1) withBoundedCounts(tiff(5, 9_000_000, true).subarray(0, length));
  expect(withBoundedCounts(Buffer.from("II*\0".repeat(1000), "latin1"))).toBeDefined();
});
