import { expect, test } from "vitest";
import {
  apertureValue,
  evOfIlluminance,
  evOfLuminance,
  fNumberOfApertureValue,
  illuminanceOfEv,
  isoDegrees,
  luminanceOfEv,
  meterReflectance,
  secondsOfTimeValue,
  speedValue,
  timeValue,
} from "../apex.ts";
import {
  ndDensityOfStops,
  ndFactorOfStops,
  ndStopsMarked,
  ndStopsNeeded,
  ndStopsOfDensity,
  ndStopsOfFactor,
  ndTransmittance,
  sceneEv,
} from "../light.ts";
import { shutterLabel } from "../quantities.ts";
import { fromNumber, one, type Ratio, ratio } from "../ratio.ts";
import { shutterTime } from "../shutter.ts";
import rows from "./exposure.json" with { type: "json" };
import { type CheckRow, fraction, mismatches, number, rowTitle } from "./row.ts";

const fNumberOf = (text: unknown): number => Number(/f\/([\d.]+)/.exec(String(text))?.[1]);
const quotient = (pair: unknown): number => {
  const [above, below] = pair as readonly [number, number];
  return above / below;
};

/** Stops in thirds as filters are marked: `8 2/3`. */
function thirds(stops: number): string {
  const [whole, rest] = [Math.floor(Math.round(stops * 3) / 3), Math.round(stops * 3) % 3];
  return [whole > 0 ? String(whole) : "", rest > 0 ? `${rest}/3` : ""].filter((part) => part !== "").join(" ");
}

function filter({ given }: CheckRow): Record<string, unknown> {
  if ("stack_densities" in given) {
    const density = (given["stack_densities"] as readonly number[]).reduce((sum, each) => sum + each, 0);
    const stops = ndStopsMarked(density);
    return { density, factor: ndFactorOfStops(stops), stops };
  }
  if ("nd_label" in given) return { stops_1000: ndStopsOfFactor(1000), stops_1024: ndStopsOfFactor(1024) };
  const factor = number(given["nd_factor"] ?? 1);
  const density = number(given["optical_density"] ?? Math.round(ndDensityOfStops(ndStopsOfFactor(factor)) * 10) / 10);
  return {
    optical_density: density,
    stops: ndStopsOfFactor(factor),
    transmittance_percent: ndTransmittance(factor) * 100,
    stops_from_density: ndStopsOfDensity(density),
    stops_nominal: thirds(ndStopsMarked(density)),
    stops_exact: "nd_factor" in given ? ndStopsOfFactor(factor) : ndStopsOfDensity(density),
  };
}

function settings({ given }: CheckRow): Record<string, unknown> {
  const fNumber = number(given["f_number"] ?? fNumberOf(given["aperture"]));
  const shutterSeconds = fraction(given["shutter_s"]);
  const ev = sceneEv({ fNumber, shutterSeconds, iso: number(given["iso"] ?? 100) });
  return { ev100: ev, ev, luminance_cd_m2: luminanceOfEv(ev) };
}

function answer(row: CheckRow): Record<string, unknown> {
  const { given } = row;
  if ("optical_density" in given || "nd_factor" in given || "nd_label" in given || "stack_densities" in given) {
    return filter(row);
  }
  if ("angle_deg" in given) {
    const stops = ndStopsNeeded(number(given["ev100"]), {
      shutterSeconds: shutterTime(fraction(given["fps"]), fraction(given["angle_deg"])),
      iso: number(given["iso"]),
      fNumber: number(given["f_number"]),
    });
    return { nd_stops: stops, nd_factor: 2 ** stops, optical_density: ndDensityOfStops(stops) };
  }
  if ("ev100" in given) {
    const ev = number(given["ev100"]);
    return { luminance_cd_m2: luminanceOfEv(ev), illuminance_lx: illuminanceOfEv(ev) };
  }
  if ("sunny_16_luminance" in given) {
    const ev = sceneEv({ fNumber: 16, shutterSeconds: ratio(1, 100), iso: 100 });
    return { luminance_cd_m2: luminanceOfEv(ev, number(given["K"])) };
  }
  if ("constant_a" in given) {
    const [low, high] = [number(given["constant_a"]), number(given["constant_b"])];
    return { difference_stops: evOfLuminance(1, low) - evOfLuminance(1, high) };
  }
  if ("K" in given) {
    return { equivalent_reflectance_percent: meterReflectance(number(given["K"]), number(given["C"])) * 100 };
  }
  if ("field" in given) {
    const time = /for (1\/\d+)$/.exec(String(given["field"]))?.[1];
    const value = time === undefined ? apertureValue(fNumberOf(given["field"])) : timeValue(fraction(time));
    // What the other program wrote into the file must be the same number.
    return { apex: Math.abs(quotient(given["rational"]) - value) < 2e-6 ? value : Number.NaN };
  }
  if ("ShutterSpeedValue" in given) {
    const seconds = secondsOfTimeValue(quotient(given["ShutterSpeedValue"]));
    const time: Ratio = fromNumber(seconds) ?? one;
    return { shutter_s: shutterLabel(time), denominator: 1 / seconds };
  }
  if ("ApertureValue" in given) return { f_number: fNumberOfApertureValue(quotient(given["ApertureValue"])) };
  if ("luminance_cd_m2" in given) return { ev100: evOfLuminance(number(given["luminance_cd_m2"])) };
  if ("illuminance_lx" in given) return { iv100: evOfIlluminance(number(given["illuminance_lx"])) };
  if ("iso_arithmetic" in given) return { iso_degrees: isoDegrees(number(given["iso_arithmetic"])) };
  if (Object.keys(given).join() === "iso") {
    const value = speedValue(number(given["iso"]));
    return { sv: value, sv_exact: value };
  }
  if (Object.keys(given).join() === "aperture") return { av: apertureValue(fNumberOf(given["aperture"])) };
  if (Object.keys(given).join() === "shutter_s") return { tv: timeValue(fraction(given["shutter_s"])) };
  return settings(row);
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    expect(mismatches(row, answer(row))).toEqual([]);
  });
}
