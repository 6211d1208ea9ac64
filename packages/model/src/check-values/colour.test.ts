import { expect, test } from "vitest";
import {
  fullRangeCode,
  hlgDisplayLuminance,
  hlgScene,
  hlgSignal,
  narrowChromaCode,
  narrowLumaCode,
  narrowLumaSignal,
  pqConstants,
  pqLuminance,
  pqSignal,
} from "../code-values.ts";
import { matrixName, primariesName, transferName, unspecifiedColour } from "../colour-codes.ts";
import rows from "./colour.json" with { type: "json" };
import { type CheckRow, mismatches, number, rowTitle } from "./row.ts";

const tables: Readonly<Record<string, (code: number) => string | undefined>> = {
  colour_primaries: primariesName,
  transfer_characteristics: transferName,
  matrix_coefficients: matrixName,
};

/** Words of the texts that ffmpeg's names leave out. */
const left = new Set(["st", "rp", "eg", "tech", "system", "itu", "r", "ebu"]);
const plain = (text: string): string =>
  text
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => !left.has(word))
    .join("");

/** Names ffmpeg shortens, in the words of the texts. */
const spelledOut: Readonly<Record<string, string>> = {
  log316: "log 100*sqrt(10):1",
  bt2020nc: "BT.2020 non-constant",
  bt2020c: "BT.2020 constant",
  "chroma-derived-nc": "chromaticity-derived non-constant",
  "chroma-derived-c": "chromaticity-derived constant",
  ictcp: "ICtCp",
  ebu3213: "3213",
};

/** The text of the row when it says what our name says, else our name. */
function meaning(name: string | undefined, text: string): string {
  if (name === undefined) return text === "unspecified" ? text : "no name";
  // BT.601 and SMPTE 170M share one transfer curve, and the text names the number alone.
  const words = plain((spelledOut[name] ?? name).replace(/^smpte170m$/, text.includes("SMPTE") ? "smpte170m" : "170m"));
  return plain(text).includes(words) ? text : name;
}

const tagged: Readonly<Record<string, readonly [string, string, string]>> = {
  "PQ clip": ["bt2020", "smpte2084", "bt2020nc"],
  "HLG clip": ["bt2020", "arib-std-b67", "bt2020nc"],
  "BT.709 clip": ["bt709", "bt709", "bt709"],
};
const codeOf = (table: (code: number) => string | undefined, name: string): number =>
  Array.from({ length: 256 }, (_, code) => code).findIndex((code) => table(code) === name);

function answer({ given, expect: wanted }: CheckRow): Record<string, unknown> {
  if ("field" in given) {
    const table = tables[String(given["field"])];
    return { meaning: meaning(table?.(number(given["code"])), String(wanted["meaning"])) };
  }
  if ("tagged_as" in given) {
    const [primaries, transfer, matrix] = tagged[String(given["tagged_as"])] ?? ["", "", ""];
    return {
      nclx: [codeOf(primariesName, primaries), codeOf(transferName, transfer), codeOf(matrixName, matrix)],
    };
  }
  if ("constants" in given) return { ...pqConstants };
  if ("hlg_scene" in given) {
    const scene = number(given["hlg_scene"]);
    return { hlg_signal: hlgSignal(scene), ootf_cd_m2: hlgDisplayLuminance(scene) };
  }
  if ("pq_luminance_cd_m2" in given) {
    const signal = pqSignal(number(given["pq_luminance_cd_m2"]));
    return { pq_signal: signal, narrow_10bit: narrowLumaCode(signal, 10) };
  }
  if ("level" in given) {
    const signal = pqSignal(203);
    return { percent: signal * 100, exact_percent: signal * 100, narrow_10bit: narrowLumaCode(signal, 10) };
  }
  const depth = number(given["bit_depth"] ?? 10);
  if ("hlg_signal" in given) {
    const scene = hlgScene(number(given["hlg_signal"]));
    return {
      scene,
      display_cd_m2: hlgDisplayLuminance(scene),
      code: narrowLumaCode(number(given["hlg_signal"]), depth),
    };
  }
  if (given["range"] === "full") {
    return { black: fullRangeCode(0, depth), grey: fullRangeCode(0.5, depth), peak: fullRangeCode(1, depth) };
  }
  if (given["plane"] === "chroma") {
    return {
      low: narrowChromaCode(-0.5, depth),
      high: narrowChromaCode(0.5, depth),
      grey: narrowChromaCode(0, depth),
    };
  }
  const [black, white] = [narrowLumaCode(0, depth), narrowLumaCode(1, depth)];
  return { black, nominal_peak: white, white };
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    expect(mismatches(row, answer(row), ["full_range_flag"])).toEqual([]);
  });
}

test("names are given for no code of H.273 that is reserved or unspecified", () => {
  for (const table of [primariesName, transferName, matrixName]) {
    expect(table(unspecifiedColour)).toBeUndefined();
    expect(table(3)).toBeUndefined();
    expect(table(255)).toBeUndefined();
    expect(table(-1)).toBeUndefined();
  }
});

test("the ways back from a PQ signal, an HLG signal and a narrow code lead to the start", () => {
  for (const nits of [0.01, 1, 100, 203, 1000, 10_000]) expect(pqLuminance(pqSignal(nits))).toBeCloseTo(nits, 6);
  expect(pqLuminance(0)).toBe(0);
  expect(pqSignal(-1)).toBe(pqSignal(0));
  for (const scene of [0, 0.01, 1 / 12, 0.09, 0.3, 1]) expect(hlgScene(hlgSignal(scene))).toBeCloseTo(scene, 7);
  expect(hlgSignal(-1)).toBe(0);
  for (const signal of [0, 0.25, 1]) {
    expect(narrowLumaSignal(narrowLumaCode(signal, 10), 10)).toBeCloseTo(signal, 2);
  }
});
