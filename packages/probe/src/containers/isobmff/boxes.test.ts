import { expect, test } from "vitest";
import { type Box, bytesAt, code, codeName, eachBox, isFault, tableOf } from "./boxes.ts";
import { be, box, full, joined, text } from "./make-movie.ts";

const walk = (array: Uint8Array): { names: string[]; fault: ReturnType<typeof eachBox> } => {
  const names: string[] = [];
  const bytes = bytesAt(array, 1000);
  const fault = eachBox(bytes, 0, array.length, "test", ({ type }) => names.push(codeName(type)));
  return { names, fault };
};

test("a code and its name are the same thing, the copyright sign included", () => {
  expect(codeName(code("moov"))).toBe("moov");
  expect(codeName(code("©xyz"))).toBe("©xyz");
  expect(code("©xyz") >>> 24).toBe(0xa9);
  expect(codeName(0x01020304)).toBe("????");
});

test("children are visited in order, with 32-bit and 64-bit sizes", () => {
  const large = joined(be(4, 1), text("free"), be(8, 20), be(4, 7));
  expect(walk(joined(box("aaaa", be(4, 1)), large, box("cccc")))).toEqual({
    names: ["aaaa", "free", "cccc"],
    fault: undefined,
  });
});

test("a zero word ends a list in silence, as in QuickTime user data", () => {
  expect(walk(joined(box("aaaa"), be(4, 0)))).toEqual({ names: ["aaaa"], fault: undefined });
  expect(walk(joined(box("aaaa"), be(4, 0, 0, 0)))).toEqual({ names: ["aaaa"], fault: undefined });
});

test("a size past the parent's end is a fault at its byte of the file", () => {
  const { names, fault } = walk(joined(box("aaaa"), be(4, 99), text("bbbb")));
  expect(names).toEqual(["aaaa"]);
  expect(fault).toEqual({ at: 1008, place: "test", why: "box bbbb says 99 bytes where 8 are left" });
});

test("a size smaller than the header is a fault, not a loop", () => {
  expect(walk(joined(be(4, 7), text("bbbb"))).fault?.why).toBe("box bbbb says 7 bytes where 8 are the least");
  expect(walk(joined(be(4, 1), text("bbbb"), be(8, 15))).fault?.why).toContain("16 are the least");
});

test("a 64-bit size of all ones is past every end", () => {
  expect(walk(joined(be(4, 1), text("bbbb"), be(8, -1), be(4, 0))).fault?.at).toBe(1000);
});

test("a table's count is checked against the room of its box", () => {
  const array = joined(full("stts", 0, 0, be(4, 2, 1, 2, 3, 4)), full("stts", 0, 0, be(4, 0xffffffff, 1, 2)));
  const bytes = bytesAt(array, 0);
  const boxes: Box[] = [];
  eachBox(bytes, 0, array.length, "", (found) => boxes.push(found));
  const [good, bad] = boxes.map((found) => tableOf(bytes, found, 8, "stts"));
  expect(good).toEqual({ at: 16, count: 2 });
  expect(bad !== undefined && isFault(bad) && bad.why).toBe("4294967295 entries are announced, the box has room for 1");
});
