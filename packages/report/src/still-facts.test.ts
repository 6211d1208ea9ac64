import { absent, type Origin, read, seconds, type Still } from "@goodgate/model";
import { expect, test } from "vitest";
import { leftOut } from "./facts.ts";
import { stillFacts } from "./still-facts.ts";

const origin: Origin = { kind: "still", file: "DCIM/S.JPG", place: "Exif IFD" };

test("a still's settings are single values under the names clips use", () => {
  const still: Still = {
    name: "DCIM/S.JPG",
    files: [],
    takenAt: read({ text: "2031-05-04T10:00:00", zone: "unknown", epochMilliseconds: 0 }, origin),
    shutterSeconds: read(seconds(1, 400), origin),
    iso: read(100, origin),
    fNumber: absent("no tag"),
    exposureBias: read(-2 / 3, origin),
    focalLength35mm: absent("no tag"),
    width: read(8064, origin),
    height: read(6048, origin),
    rotationDegrees: read(0, origin),
    location: read({ latitudeDegrees: 12.5, longitudeDegrees: 98.5 }, origin),
    cost: { bytes: 0, calls: 0, milliseconds: 0 },
  };
  const report = stillFacts(still, { positions: false });
  expect(report["shutterSeconds"]).toMatchObject({ value: "1/400", text: "1/400 s" });
  expect(report["createdAt"]).toMatchObject({
    value: "2031-05-04T10:00:00",
    text: "2031-05-04T10:00:00, zone unknown",
  });
  expect(report["exposureBias"]?.text).toBe("-0.67 stops");
  expect(report["location"]).toEqual({ state: "absent", why: leftOut });
  expect(stillFacts(still, { positions: true })["location"]?.text).toBe("12.5, 98.5");
});
