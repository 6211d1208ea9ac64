import * as fc from "fast-check";
import { expect, test } from "vitest";
import { attribute, decodeText, everyElement, mostXmlBytes, mostXmlTags, parseXml } from "./xml-tree.ts";

const parse = (text: string) => parseXml(Buffer.from(text));

test("names are resolved to namespaces, whatever the prefix, and values stay text", () => {
  const tree = parse(
    `<?xml version="1.0"?><a xmlns="urn:one" xmlns:q="urn:two" q:v="04030201" w="1.0"><q:b>007</q:b></a>`,
  );
  if ("fault" in tree) throw new Error(tree.fault);
  expect(tree).toMatchObject({ namespace: "urn:one", local: "a" });
  expect(tree.attributes).toEqual([
    { namespace: "urn:two", local: "v", value: "04030201" },
    { namespace: "", local: "w", value: "1.0" },
  ]);
  expect(tree.children[0]).toMatchObject({ namespace: "urn:two", local: "b", text: "007" });
  expect(attribute(tree, "w")).toBe("1.0");
  expect([...everyElement(tree)].map((element) => element.local)).toEqual(["a", "b"]);
});

test("UTF-16 in both orders and a mark before UTF-8 are read", () => {
  const text = `<a v="ü"/>`;
  const little = Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(text, "utf16le")]);
  const big = Buffer.concat([Buffer.from([0xfe, 0xff]), Buffer.from(text, "utf16le").swap16()]);
  for (const bytes of [little, big, Buffer.concat([Buffer.from([0xef, 0xbb, 0xbf]), Buffer.from(text)])]) {
    const tree = parseXml(bytes);
    expect("fault" in tree ? tree.fault : attribute(tree, "v")).toBe("ü");
  }
});

test("a document type is refused before anything is parsed", () => {
  const bomb = `<!DOCTYPE a [<!ENTITY b "x"><!ENTITY c "&b;&b;">]><a>&c;</a>`;
  expect(parse(bomb)).toEqual({ fault: "a DOCTYPE is refused" });
});

test("an entity bomb is refused in whatever letters and bytes it comes, and a reference without one stays text", () => {
  // The tenfold tenfold tree known as "billion laughs": nine levels are a thousand million words.
  const levels = Array.from({ length: 9 }, (_, level) => `<!ENTITY l${level + 1} "${`&l${level};`.repeat(10)}">`);
  const bomb = `<?xml version="1.0"?><!DOCTYPE a [<!ENTITY l0 "ha">${levels.join("")}]><a>&l9;</a>`;
  const [little, big] = [Buffer.from(bomb, "utf16le"), Buffer.from(bomb, "utf16le").swap16()];
  for (const bytes of [
    Buffer.from(bomb),
    Buffer.from(bomb.toLowerCase()),
    Buffer.concat([Buffer.from([0xff, 0xfe]), little]),
    Buffer.concat([Buffer.from([0xfe, 0xff]), big]),
    Buffer.concat([Buffer.from([0xef, 0xbb, 0xbf]), Buffer.from(bomb)]),
  ]) {
    expect(parseXml(bytes)).toEqual({ fault: "a DOCTYPE is refused" });
  }
  // Entities from outside would read other files; nothing declares them, so nothing is put in their place.
  const outside = parse(`<a>&l9; &passwd;</a>`);
  expect("fault" in outside || outside.text).toBe("&l9; &passwd;");
});

test("a file cut anywhere is a fault, also between two elements", () => {
  const whole = `<a><b>1</b><c d="2"/></a>`;
  expect("fault" in parse(whole)).toBe(false);
  for (let length = 0; length < whole.length; length += 1) {
    expect([length, "fault" in parse(whole.slice(0, length))]).toEqual([length, true]);
  }
});

test("too long, too deep and hostile names do no harm", () => {
  expect(parseXml(new Uint8Array(mostXmlBytes + 1))).toMatchObject({ fault: expect.stringContaining("longer") });
  expect(parse("<a>".repeat(5000) + "</a>".repeat(5000))).toBeTypeOf("object");
  expect(parse(`<r>${"<a/>".repeat(mostXmlTags)}</r>`)).toEqual({
    fault: `${mostXmlTags + 2} tags, more than the ${mostXmlTags} a sidecar may have`,
  });
  // A parser that quotes what it did not understand would carry the file into the report.
  for (const text of [`<${"<".repeat(9000)}`, "<a>".repeat(9000), `<${"b".repeat(9000)}></c>`]) {
    const tree = parse(text);
    expect("fault" in tree && tree.fault.length).toBeLessThan(200);
  }
  expect(parse("<__proto__><constructor x='1'/></__proto__>")).toBeTypeOf("object");
  expect(({} as Record<string, unknown>)["x"]).toBeUndefined();
});

test("any bytes give a tree or a fault, never a throw", () => {
  fc.assert(
    fc.property(
      fc.string({ unit: fc.constantFrom("<", ">", "/", "a", "=", '"', "&", ";", "!", "[", "]", "?", "-", " ", ":") }),
      (text) => {
        expect(parse(text)).toBeTypeOf("object");
      },
    ),
    { numRuns: 500 },
  );
});

test("a packet of zeros that ends in a letter costs no time to decode", () => {
  const began = process.cpuUsage();
  expect(decodeText(Buffer.concat([Buffer.alloc(1_000_000), Buffer.from("x")]))).toHaveLength(1_000_001);
  expect(decodeText(Buffer.from("x\0\0\0"))).toBe("x");
  const { user, system } = process.cpuUsage(began);
  expect((user + system) / 1000).toBeLessThan(2000);
});
