import { firstValue, ratioText, valueOf } from "@goodgate/model";
import { expect, test } from "vitest";
import { readXmp } from "./xmp.ts";

const packet = (attributes: string, inside = ""): Buffer =>
  Buffer.from(
    `<?xpacket begin="\uFEFF" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">` +
      `<r:RDF xmlns:r="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><r:Description r:about="" ` +
      `xmlns:b="http://ns.adobe.com/xap/1.0/" xmlns:e="http://ns.adobe.com/exif/1.0/" xmlns:c="http://cipa.jp/exif/1.0/" ` +
      `xmlns:m="http://ns.adobe.com/xmp/1.0/DynamicMedia/" xmlns:t="http://ns.adobe.com/tiff/1.0/" ${attributes}>${inside}` +
      `</r:Description></r:RDF></x:xmpmeta><?xpacket end="w"?>`,
  );
const facts = (attributes: string, inside = "") => {
  const found = readXmp(packet(attributes, inside), "A/clip.xmp", "XMP", 2_000_000);
  if ("fault" in found) throw new Error(found.fault);
  return found;
};

test("properties are found by namespace, as attribute or as element", () => {
  const asAttributes = facts(
    `e:ExposureTime="1/50" e:FNumber="28/10" c:PhotographicSensitivity="200" m:videoFrameRate="25"`,
  );
  const asElements = facts(
    "",
    `<e:ExposureTime>1/50</e:ExposureTime><e:FNumber>28/10</e:FNumber><m:videoFrameRate>25</m:videoFrameRate>` +
      `<e:ISOSpeedRatings><r:Seq><r:li>200</r:li></r:Seq></e:ISOSpeedRatings>`,
  );
  for (const found of [asAttributes, asElements]) {
    const shutter = valueOf(found.shutterSeconds);
    expect(shutter === undefined ? "" : ratioText(firstValue(shutter))).toBe("1/50");
    expect(valueOf(found.fNumber)?.values).toEqual([2.8]);
    expect(valueOf(found.iso)?.values).toEqual([200]);
    expect(valueOf(found.frameRate)).toEqual({ numerator: 25n, denominator: 1n });
  }
});

test("the same names of another namespace are not taken", () => {
  const other = Buffer.from(
    packet(`e:ExposureTime="1/50"`).toString().replace("http://ns.adobe.com/exif/1.0/", "urn:other"),
  );
  expect(readXmp(other, "a.xmp", "XMP", 1)).toEqual({});
});

const code = (format: string, value: string) =>
  facts(
    "",
    `<m:startTimecode r:parseType="Resource"><m:timeFormat>${format}</m:timeFormat><m:timeValue>${value}</m:timeValue></m:startTimecode>`,
  ).timecode;

test("a timecode is read with the count its format names", () => {
  expect(valueOf(code("2997DropTimecode", "01:02:03;04"))).toMatchObject({ dropFrame: true, labelsPerSecond: 30 });
  // XMP specification, part 2, Timecode: 2997drop has semicolons between all its fields.
  expect(valueOf(code("2997DropTimecode", "01;02;03;04"))).toMatchObject({ start: "01:02:03;04", dropFrame: true });
  expect(valueOf(code("25Timecode", "01:02:03:04"))).toMatchObject({ start: "01:02:03:04", labelsPerSecond: 25 });
  expect(valueOf(code("2997NonDropTimecode", "01:02:03:04"))).toMatchObject({ dropFrame: false, labelsPerSecond: 30 });
  expect(valueOf(code("23976Timecode", "01:02:03:23"))).toMatchObject({ labelsPerSecond: 24 });
  expect(code("25Timecode", "01:02:03:25")).toMatchObject({ state: "damaged" });
  expect(code("Frames", "12")).toMatchObject({ state: "damaged" });
});

test("rates by name and by decimals mean the exact ones", () => {
  const rate = (text: string) => valueOf(facts(`m:videoFrameRate="${text}"`).frameRate);
  expect(rate("NTSC")).toEqual({ numerator: 30000n, denominator: 1001n });
  expect(rate("29.97")).toEqual({ numerator: 30000n, denominator: 1001n });
  expect(rate("PAL")).toEqual({ numerator: 25n, denominator: 1n });
  expect(facts(`m:videoFrameRate="fast"`).frameRate).toMatchObject({ state: "damaged" });
  expect(facts(`m:videoFrameRate="99999"`).frameRate).toMatchObject({ state: "damaged" });
});

test("values out of range are damage, a lens without contacts is silence", () => {
  expect(facts(`e:ExposureTime="0/1"`).shutterSeconds).toMatchObject({ state: "damaged" });
  expect(facts(`c:PhotographicSensitivity="0"`).iso).toMatchObject({ state: "damaged" });
  expect(facts(`e:FNumber="0/1"`).fNumber).toBeUndefined();
  expect(facts(`b:CreateDate="yesterday"`).createdAt).toMatchObject({ state: "damaged" });
});

// CIPA DC-008: a denominator of zero says that the value is not known.
test("a denominator of zero is silence", () => {
  const found = facts(`e:ExposureTime="1/0" e:FNumber="0/0" e:ExposureBiasValue="0/0"`);
  expect([found.shutterSeconds, found.fNumber, found.exposureBias]).toEqual([undefined, undefined, undefined]);
});

test("the exposure bias is a fraction with its sign", () => {
  expect(valueOf(facts(`e:ExposureBiasValue="-1/3"`).exposureBias)?.values[0]).toBeCloseTo(-1 / 3, 12);
  expect(facts(`e:ExposureBiasValue="99/1"`).exposureBias).toMatchObject({ state: "damaged" });
});

test("an ISO at the ceiling of sixteen bits stands in another property, or is not known", () => {
  const iso = (more: string) => facts(`c:PhotographicSensitivity="65535" ${more}`).iso;
  expect(valueOf(iso(`c:RecommendedExposureIndex="102400"`))?.values).toEqual([102_400]);
  expect(iso(`c:RecommendedExposureIndex="102400"`)).toMatchObject({
    origin: { place: "XMP RecommendedExposureIndex" },
  });
  expect(iso("")).toBeUndefined();
});

test("a timecode without its format is not guessed", () => {
  const inside = `<m:startTimecode r:parseType="Resource"><m:timeValue>01:02:03:04</m:timeValue></m:startTimecode>`;
  expect(facts("", inside).timecode).toMatchObject({ state: "absent" });
});

test("positions in minutes and in seconds", () => {
  const place = valueOf(facts(`e:GPSLatitude="12,20.74074N" e:GPSLongitude="45,40,44.04W"`).location);
  expect(place?.latitudeDegrees).toBeCloseTo(12.345679, 6);
  expect(place?.longitudeDegrees).toBeCloseTo(-45.6789, 6);
  expect(facts(`e:GPSLatitude="0,0.0N" e:GPSLongitude="0,0.0E"`).location).toBeUndefined();
});

test("every cut of a packet is a fault or facts, never a throw", () => {
  const whole = packet(`e:ExposureTime="1/50" b:CreateDate="2031-04-05T08:07:08+02:00"`);
  for (let length = 0; length < whole.length - 20; length += 7) {
    expect(readXmp(whole.subarray(0, length), "a.xmp", "XMP", 1)).toHaveProperty("fault");
  }
});
