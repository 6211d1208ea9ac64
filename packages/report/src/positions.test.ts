import { expect, test } from "vitest";
import { tellsPosition, withoutPositions } from "./positions.ts";

// Keys and forms as common practice writes them; ISO 6709 and NMEA 0183 are named where they apply. Places are at sea.
test.each([
  ["com.example.location.ISO6709", "x"],
  ["\u00A9xyz", "x"],
  ["GPSLatitudeRef", "N"],
  ["droneLat", "1"],
  ["homelat", "1"],
  ["latlon", "1"],
  ["dest_lon_e7", "-305000000"],
  ["GPSCoordinates", "x"],
  ["remark", "+27.5916-030.5640+0012/"],
  ["remark", "27.591 -30.564"],
  ["remark", "N 27.59160"],
  ["remark", "27°35'29\" N"],
  ["remark", "27 deg 35 min"],
  ["remark", "$GPGGA,120000,2735.496,N,03033.840,W,1,08,0.9,12.0,M,,,,*47"],
  ["remark", "$GNRMC,120000,A,2735.496,N,03033.840,W,0,0,010131,,*00"],
])("%s: %s tells where a clip was recorded", (key, text) => {
  expect(tellsPosition(key, text)).toBe(true);
});

test.each([
  ["make", "someone"],
  ["frame_rate", "59.94"],
  ["shutter", "1/120.5"],
  ["iso", "100"],
  ["platform", "air"],
  ["relation", "original"],
  ["belong", "yes"],
  ["created", "2031-05-14T12:00:00.123Z"],
])("%s: %s does not", (key, text) => {
  expect(tellsPosition(key, text)).toBe(false);
});

test("what is left out is counted", () => {
  expect(withoutPositions({ lat: "1", make: "x", note: "27.59160" })).toEqual({ kept: { make: "x" }, left: 2 });
});
