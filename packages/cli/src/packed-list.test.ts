import * as fc from "fast-check";
import { expect, test } from "vitest";
import { packedList } from "./packed-list.ts";

const json = { text: (item: unknown) => JSON.stringify(item), parse: (text: string): unknown => JSON.parse(text) };

test("a packed list holds what was put into it, in order, whatever its length and its bound", () => {
  fc.assert(
    fc.property(fc.array(fc.jsonValue(), { maxLength: 400 }), fc.integer({ min: 0, max: 200 }), (items, plain) => {
      const list = packedList(json, plain);
      for (const item of items) list.push(item);
      const same = items.map((item) => JSON.parse(JSON.stringify(item)) as unknown);
      expect(list.length).toBe(items.length);
      expect(JSON.parse(JSON.stringify([...list]))).toEqual(same);
      expect(list.at(items.length)).toBeUndefined();
      expect(list.at(-1)).toBeUndefined();
      for (const place of [0, 63, 64, 65, items.length - 1]) {
        if (place >= 0 && place < items.length) {
          expect(JSON.parse(JSON.stringify(list.at(place)))).toEqual(same[place]);
        }
      }
    }),
    { numRuns: 60 },
  );
});

test("a line break in an item is no end of it", () => {
  const list = packedList(json, 0);
  for (let place = 0; place < 130; place += 1) list.push(`a\nb${place}`);
  expect([...list]).toEqual(Array.from({ length: 130 }, (_, place) => `a\nb${place}`));
});

test("items that went in while the list was short stay the same objects until it is packed", () => {
  const list = packedList(json, 3);
  const item = { one: 1 };
  list.push(item);
  expect(list.at(0)).toBe(item);
});

test("blocks of any size and any letters are read again in any order", () => {
  const list = packedList(json, 63);
  // Sizes of neighbouring blocks differ a hundredfold, and every third block has letters of other alphabets.
  const items = Array.from({ length: 900 }, (_, place) => {
    const block = Math.floor(place / 64);
    return `${place} ${(block % 3 === 0 ? "сопка ⛰ é" : "hill").repeat(block % 2 === 0 ? 1 : 100)}`;
  });
  for (const item of items) list.push(item);
  for (let step = 0; step < items.length; step += 1) {
    const place = (step * 389) % items.length;
    expect(list.at(place)).toBe(items[place]);
  }
});
