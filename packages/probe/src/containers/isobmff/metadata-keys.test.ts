import { expect, test } from "vitest";
import { bytesAt, type Fault } from "./boxes.ts";
import { be, box, full, hex, joined, keysBox, text, userText } from "./make-movie.ts";
import { type MetadataItem, readMeta, readUserData, textOf } from "./metadata-keys.ts";

function metaOf(array: Uint8Array): { items: MetadataItem[]; fault: Fault | undefined } {
  const items: MetadataItem[] = [];
  const fault = readMeta(bytesAt(array, 0), 8, array.length, "moov/meta", items);
  return { items, fault };
}

const item = (code: string, type: number, value: string): Uint8Array =>
  box(code, box("data", be(4, type, 0), hex(value)));

test("keys are paired with the items that name them by number", () => {
  const { items, fault } = metaOf(keysBox({ "com.example.creationdate": "2031", "com.example.capture.fps": 119.5 }));
  expect(fault).toBeUndefined();
  expect(items).toEqual([
    { key: "com.example.creationdate", text: "2031", place: "moov/meta/ilst[com.example.creationdate]" },
    { key: "com.example.capture.fps", text: "119.5", number: 119.5, place: "moov/meta/ilst[com.example.capture.fps]" },
  ]);
});

test("the ISO form with a version field is told from the QuickTime form", () => {
  const plain = keysBox({ a: "b" });
  const whole = joined(be(4, plain.length + 4), text("meta"), be(4, 0), plain.subarray(8));
  expect(metaOf(whole).items).toMatchObject([{ key: "a", text: "b" }]);
});

test("items can be their own keys, and values have types (QuickTime file format, well-known types)", () => {
  const list = box(
    "ilst",
    item("©too", 1, "4c6176"),
    item("s16b", 21, "fffe"),
    item("u24b", 22, "010000"),
    item("f64b", 24, "3fe0000000000000"),
    item("s64b", 74, "ffffffffffffffff"),
    item("raws", 0, "00"),
    item("jpeg", 13, "ffd8"),
  );
  const { items } = metaOf(full("meta", 0, 0, full("hdlr", 0, 0, be(4, 0), text("mdir"), new Uint8Array(13)), list));
  expect(items.map(({ key, text: value, number }) => [key, value, number])).toEqual([
    ["©too", "Lav", undefined],
    ["s16b", "-2", -2],
    ["u24b", "65536", 65536],
    ["f64b", "0.5", 0.5],
    ["s64b", "-1", -1],
  ]);
});

test("a key count of four thousand million is a fault", () => {
  const keys = full("keys", 0, 0, be(4, 0xffffffff));
  const { fault } = metaOf(box("meta", full("hdlr", 0, 0, be(4, 0), text("mdta"), new Uint8Array(13)), keys));
  expect(fault?.why).toContain("4294967295 entries");
});

test("no more items are kept than the bound", () => {
  const many = Object.fromEntries(Array.from({ length: 300 }, (_, place) => [`key${place}`, "x"]));
  expect(metaOf(keysBox(many)).items).toHaveLength(256);
});

test("user data texts have a length and a language before them; foreign boxes are left alone", () => {
  const items: MetadataItem[] = [];
  const body = joined(userText("©xyz", "-33.5000+151.2500/"), box("abcd", hex("00ff00ff")), be(4, 0));
  const fault = readUserData(bytesAt(body, 0), 0, body.length, "moov/udta", items, () => undefined);
  expect(fault).toBeUndefined();
  expect(items).toEqual([{ key: "©xyz", text: "-33.5000+151.2500/", place: "moov/udta/©xyz" }]);
});

test("a text longer than its box is a fault", () => {
  const body = box("©day", be(2, 99, 0), text("2031"));
  const fault = readUserData(bytesAt(body, 500), 0, body.length, "moov/udta", [], () => undefined);
  expect(fault).toMatchObject({ at: 508, place: "moov/udta/©day" });
});

test("an XMP packet in user data is handed over", () => {
  let packet: Uint8Array | undefined;
  const body = box("XMP_", text("<x/>"));
  readUserData(bytesAt(body, 0), 0, body.length, "moov/udta", [], (xmp) => (packet = xmp.slice()));
  expect(packet).toEqual(text("<x/>"));
});

test("texts are UTF-8, else Latin-1, without the zeros at the end", () => {
  expect(textOf(new TextEncoder().encode("Übung\0\0"))).toBe("Übung");
  expect(textOf(hex("dc62756e67"))).toBe("Übung");
});
