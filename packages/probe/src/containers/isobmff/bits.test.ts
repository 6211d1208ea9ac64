import { expect, test } from "vitest";
import { bitReader, withoutEmulation } from "./bits.ts";
import { hex } from "./make-movie.ts";

test("Exp-Golomb codes read as in ITU-T H.264, table 9-2: 1, 010, 011, 00100, 00101 are 0 to 4", () => {
  // 1 010 011 00100 00101 and padding.
  const input = bitReader(Uint8Array.of(0b10100110, 0b01000010, 0b10000000));
  expect([1, 2, 3, 4, 5].map(() => input.unsigned())).toEqual([0, 1, 2, 3, 4]);
});

test("signed Exp-Golomb codes alternate: 0, 1, −1, 2, −2 (ITU-T H.264, table 9-3)", () => {
  const input = bitReader(Uint8Array.of(0b10100110, 0b01000010, 0b10000000));
  expect([1, 2, 3, 4, 5].map(() => input.signed())).toEqual([0, 1, -1, 2, -2]);
});

test("32 bits are read as an unsigned number", () => {
  expect(bitReader(hex("ffffffff")).bits(32)).toBe(4294967295);
});

test("past the end come zeros and the reader says so", () => {
  const input = bitReader(hex("80"));
  expect(input.bits(8)).toBe(128);
  expect(input.ended).toBe(false);
  expect(input.bits(8)).toBe(0);
  expect(input.ended).toBe(true);
});

test("an endless run of zeros ends the reader instead of the process", () => {
  const input = bitReader(new Uint8Array(1_000_000));
  expect(input.unsigned()).toBe(0);
  expect(input.ended).toBe(true);
});

test("emulation prevention bytes are taken out, other threes stay", () => {
  expect(withoutEmulation(hex("0000030103 000003000003"))).toEqual(hex("00000103 00000000"));
});
