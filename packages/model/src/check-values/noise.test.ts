import { expect, test } from "vitest";
import { gainDecibels } from "../light.ts";
import { gainStops, isoStops, photonNoiseLossDecibels, ratioDecibels, signalFactor, signalToNoise } from "../noise.ts";
import rows from "./noise.json" with { type: "json" };
import { type CheckRow, mismatches, number, rowTitle } from "./row.ts";

/** Many electrons, so that only photon noise counts. */
const manyElectrons = 1e6;

function answer({ given }: CheckRow): Record<string, unknown> {
  if ("gain_db" in given) {
    const gain = number(given["gain_db"]);
    return { signal_factor: signalFactor(gain), stops: gainStops(gain) };
  }
  if ("iso" in given) {
    const [base, iso] = [number(given["base_iso"]), number(given["iso"])];
    const stops = isoStops(base, iso);
    return {
      // Texts count six decibels a stop.
      gain_db_nominal: 6 * stops,
      gain_db_exact: gainDecibels(base, iso),
      stops,
    };
  }
  if ("iso_from" in given) {
    const [from, to] = [number(given["iso_from"]), number(given["iso_to"])];
    return { stops: isoStops(from, to), photon_snr_loss_db: photonNoiseLossDecibels(from, to) };
  }
  if ("electrons" in given) {
    const ratio = signalToNoise(number(given["electrons"]), number(given["read_noise_e"] ?? given["read_noise"]));
    return { snr: ratio, snr_db: ratioDecibels(ratio) };
  }
  if ("voltage_ratio" in given) return { db: ratioDecibels(number(given["voltage_ratio"])) };
  if ("photon_ratio" in given) {
    const fewer = signalToNoise(manyElectrons * number(given["photon_ratio"]));
    return { snr_change_db: ratioDecibels(fewer / signalToNoise(manyElectrons)) };
  }
  return { db: ratioDecibels(Math.sqrt(number(given["power_ratio"]))) };
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    expect(mismatches(row, answer(row))).toEqual([]);
  });
}
