import { expect, test } from "vitest";
import { parsePosition } from "./place-text.ts";

test.each([
  ["+12.3456-045.6789+123.400/", 12.3456, -45.6789, 123.4],
  ["-33.5000+151.2500/", -33.5, 151.25, undefined],
  ["+40.20361-075.00417CRSWGS_84/", 40.20361, -75.00417, undefined],
  ["+4012.22-07500.25/", 40 + 12.22 / 60, -(75 + 0.25 / 60), undefined],
  ["+401213.1-0750015.1+2.79/", 40 + 12 / 60 + 13.1 / 3600, -(75 + 15.1 / 3600), 2.79],
  ["+00.0000+000.0000", 0, 0, undefined],
])("%s (ISO 6709, annex H)", (text, latitude, longitude, altitude) => {
  const place = parsePosition(text);
  expect(place?.latitudeDegrees).toBeCloseTo(latitude, 9);
  expect(place?.longitudeDegrees).toBeCloseTo(longitude, 9);
  expect(place?.altitudeMetres).toBe(altitude);
});

test.each([
  "",
  "12.3,45.6",
  "+91.0000+000.0000/",
  "+12.3456-181.0000/",
  "+4072.00-07500.00/",
  "+123-0456/",
  "+1e5+000/",
])("%s is no position", (text) => {
  expect(parsePosition(text)).toBeUndefined();
});
