import { expect, test } from "vitest";
import { briefValue, count, factLabel, plainWords, rateName, shutterName, speedText, splitPath } from "./words.ts";

test("facts have the names of the trade", () => {
  expect(["shutterSeconds", "iso", "fNumber", "whiteBalanceKelvin", "frameRate"].map(factLabel)).toEqual([
    "shutter",
    "ISO",
    "f-number",
    "white balance",
    "frame rate",
  ]);
});

test("a name of JavaScript's own is a name like any other", () => {
  expect(["constructor", "toString", "__proto__"].map(factLabel)).toEqual(["constructor", "to string", "__proto__"]);
  expect(briefValue("constructor", 3)).toBe("3");
});

test("rates, shutters and speeds read as menus print them", () => {
  expect([rateName("24000/1001"), rateName("25/1"), rateName("soon")]).toEqual(["23.976", "25", "soon"]);
  expect([shutterName("1/50"), shutterName("1001/48000"), shutterName("0/1")]).toEqual(["1/50", "1/48", "0/1"]);
  expect(speedText("50 %", "1/2")).toBe("50 %");
  expect(speedText("99.9 %", "1000/1001")).toBe("99.9 % = 1000/1001");
});

test("items of a brief carry their unit, lists their commas", () => {
  expect(briefValue("ndFactors", [8, 64])).toBe("ND8, ND64");
  expect(briefValue("ndFactors", [])).toBe("none");
  expect(briefValue("timelineRate", "30000/1001")).toBe("29.97 frames/s");
  expect(briefValue("mainsHertz", 50)).toBe("50 Hz");
  expect(plainWords({ width: 3840, height: 2160 })).toBe("width 3840, height 2160");
  expect(plainWords(true)).toBe("yes");
});

test("counts agree with their noun and paths split at the last slash", () => {
  expect([count(1, "clip"), count(0, "clip"), count(2000, "clip")]).toEqual(["1 clip", "0 clips", "2,000 clips"]);
  expect(splitPath("DCIM/100/A.MP4")).toEqual({ folder: "DCIM/100/", base: "A.MP4" });
  expect(splitPath("A.MP4")).toEqual({ folder: "", base: "A.MP4" });
});
