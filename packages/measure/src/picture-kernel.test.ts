import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { hashOfSources } from "../../../scripts/kernel-text.ts";
import { randomNumbers } from "../truth/scenes.ts";
import { transformPicture } from "../truth/transform-picture.ts";
import { pieceWidth, smallWidth } from "./frame-layout.ts";
import { stripWidth } from "./horizon.ts";
import { blockSide } from "./noise-blocks.ts";
import { mostSide, mostTerms, pictureKernel } from "./picture-kernel.ts";
import { kernelSourceHash } from "./picture-kernel-code.ts";
import { bandEdges, bands, bins, comparedEdges } from "./shutter/blur-spectrum.ts";

const folder = fileURLToPath(new URL("../assembly", import.meta.url));

test("the compiled code is of the sources beside it", () => {
  expect(kernelSourceHash, "run tsx scripts/write-kernel.ts").toBe(hashOfSources(folder));
});

test("numbers that stand on both sides are the same", () => {
  const source = readFileSync(join(folder, "spectrum.ts"), "utf8");
  expect(source).toContain(`const bins: i32 = ${bins};`);
  expect(source).toContain(`const bandEdges: usize = memory.data<f64>([${bandEdges.join(", ")}]);`);
  expect(source).toContain(`const bands: i32 = ${bands};`);
  expect(source).toContain(`const comparedEdges: usize = memory.data<f64>([${comparedEdges.join(", ")}]);`);
  expect(source).toContain(`const ranges: i32 = ${comparedEdges.length - 1};`);
  const stands = (file: string, line: string): void => expect(readFileSync(join(folder, file), "utf8")).toContain(line);
  stands("layout.ts", `const pieceWidth: i32 = ${pieceWidth};`);
  stands("layout.ts", `const smallWidth: i32 = ${smallWidth};`);
  stands("piece.ts", `const blockSide: i32 = ${blockSide};`);
  stands("horizon.ts", `const stripWidth: i32 = ${stripWidth};`);
});

/** A picture as the kernel transforms it. */
function transformed(picture: Float64Array, width: number, height: number, inverse: boolean): Float64Array {
  const { calls, rooms, tables, view } = pictureKernel();
  const { terms, phases } = rooms(width, height);
  view(terms, picture.length).set(picture);
  calls.transform(terms, tables(width), tables(height), phases, inverse ? 1 : 0);
  return view(terms, picture.length).slice();
}

test("the transform of a picture is the plain sum over all its pixels", () => {
  const [width, height] = [8, 4];
  const random = randomNumbers(3);
  const picture = Float64Array.from({ length: 2 * width * height }, () => random() - 0.5);
  const terms = transformed(picture, width, height, false);
  for (let v = 0; v < height; v += 1) {
    for (let u = 0; u < width; u += 1) {
      let [re, im] = [0, 0];
      for (let y = 0; y < height; y += 1) {
        for (let x = 0; x < width; x += 1) {
          const turn = -2 * Math.PI * ((u * x) / width + (v * y) / height);
          const [a, b] = [picture[2 * (y * width + x)] ?? 0, picture[2 * (y * width + x) + 1] ?? 0];
          re += a * Math.cos(turn) - b * Math.sin(turn);
          im += a * Math.sin(turn) + b * Math.cos(turn);
        }
      }
      expect(terms[2 * (v * width + u)]).toBeCloseTo(re, 10);
      expect(terms[2 * (v * width + u) + 1]).toBeCloseTo(im, 10);
    }
  }
});

test.each([
  [2, 64],
  [8, 16],
  [64, 32],
  [128, 64],
  [512, 256],
])("transforms of %i by %i terms are those of fft.js to the last digit, both ways", (width, height) => {
  const random = randomNumbers(width);
  const picture = Float64Array.from({ length: 2 * width * height }, () => random() - 0.5);
  for (const inverse of [false, true]) {
    const terms = picture.slice();
    transformPicture({ width, height, terms }, inverse);
    expect(transformed(picture, width, height, inverse)).toEqual(terms);
  }
});

test("memory for pictures of all sizes lies apart and is enough; larger ones are refused", () => {
  const { rooms, room } = pictureKernel();
  const spans: { from: number; to: number }[] = [];
  for (let terms = 4; terms <= mostTerms; terms *= 2) {
    for (let width = Math.max(2, terms / mostSide); width <= Math.min(terms / 2, mostSide); width *= 2) {
      expect(room(width, terms / width)).toBeGreaterThan(0);
    }
    const side = Math.min(mostSide, terms / 2);
    for (const [name, from] of Object.entries(rooms(side, terms / side)) as [string, number][]) {
      const complex = ["terms", "cross", "phases"].includes(name);
      spans.push({ from, to: from + terms * (complex ? 16 : 8) });
    }
  }
  spans.sort((a, b) => a.from - b.from);
  spans.slice(1).forEach(({ from }, place) => expect(from).toBeGreaterThanOrEqual(spans[place]?.to ?? 0));
  expect(() => rooms(1024, 16)).toThrow(RangeError);
  expect(() => rooms(512, 512)).toThrow(RangeError);
});
