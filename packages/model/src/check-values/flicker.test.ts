import { expect, test } from "vitest";
import { flickerBeatHertz, flickerRipple, mainsSafeShutters, pulsesPerSecond, rippleSwingStops } from "../flicker.ts";
import { rate, type Rate } from "../quantities.ts";
import { multiply, ratio, toNumber } from "../ratio.ts";
import { shutterAngle, shutterTime } from "../shutter.ts";
import rows from "./flicker.json" with { type: "json" };
import { type CheckRow, fraction, mismatches, number, rowTitle } from "./row.ts";

const steady = (at: Rate, mainsHertz: number): boolean => flickerBeatHertz(at, mainsHertz).numerator === 0n;

function answer({ given, expect: wanted }: CheckRow): Record<string, unknown> {
  const mains = number(given["mains_hz"] ?? given["supply_hz"] ?? number(given["light_hz"]) / 2);
  const light = pulsesPerSecond(mains);
  if ("supply_hz" in given) return { light_pulses_per_s: light };
  if ("safe_integer_fps" in wanted) {
    // The printed lists end below one pulse a frame or at it.
    const most = Math.max(...(wanted["safe_integer_fps"] as readonly number[]));
    const all = Array.from({ length: most }, (_, place) => place + 1);
    return { safe_integer_fps: all.filter((fps) => steady(rate(fps), mains)) };
  }
  if ("n" in given) {
    const at = rate(light, number(given["n"]));
    return { safe_fps: steady(at, mains) ? toNumber(at) : Number.NaN };
  }
  if ("shutter_s" in given) {
    const ripple = flickerRipple(fraction(given["shutter_s"]), mains);
    const modulation = number(given["light_modulation"] ?? 1);
    return {
      residual_ripple_fraction: ripple,
      exposure_swing_peak_to_peak_stops: rippleSwingStops(modulation * ripple),
    };
  }
  const at = fraction(given["fps"]);
  const beat = flickerBeatHertz(at, mains);
  const safe = mainsSafeShutters(at, mains).toReversed();
  return {
    beat_hz: beat,
    beat_exact: beat,
    safe_shutters_s: safe,
    safe_angles_deg: safe.map((time) => shutterAngle(at, time)),
    pulses_per_frame: light / toNumber(at),
    pulses_in_exposure:
      "angle_deg" in given && toNumber(multiply(ratio(light), shutterTime(at, fraction(given["angle_deg"])))),
  };
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    expect(mismatches(row, answer(row))).toEqual([]);
  });
}
