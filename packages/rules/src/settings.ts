import {
  type Brief,
  cleanSlowSpeeds,
  compare,
  divide,
  equal,
  flickerRipple,
  isEven,
  isWhole,
  mainsSafeShutters,
  markedShutterSeconds,
  ndLabel,
  ndStopsNeeded,
  ndStopsOfFactor,
  ndFactorOfStops,
  nearestMarkedShutter,
  type NextFlight,
  percentLabel,
  type Rate,
  rate,
  rateLabel,
  ratio,
  realTimeCadence,
  safeRipple,
  type Seconds,
  seconds,
  type SettingsRow,
  shutterAngle,
  shutterLabel,
  shutterTime,
  fromNumber,
  toNumber,
} from "@goodgate/model";
import { angleText, flyingCaution, short } from "./words.ts";

/** Up to this light (EV at ISO 100) lamps are taken to light the scene when the brief leaves it open. House limit. */
export const lampLightEv = 8;
/** A darker or brighter picture by this much is nothing: a third of a stop is one camera step. */
const cameraStepStops = 1 / 3;
/** Filters that are made and flown; named when nobody stated the filters at hand. Common practice, no source. */
const madeFilters: readonly number[] = [2, 4, 8, 16, 32, 64, 128, 256, 512, 1000];

/** Marks that few cameras have; 1/50 and 1/100 stand for them. Common practice, no source. */
const rareMarks: readonly bigint[] = [24n, 48n, 96n, 480n];
const dial = markedShutterSeconds.filter((time) => !rareMarks.includes(time.denominator));

/** The time on a usual dial nearest to the wanted one that is not longer than a frame. */
function dialShutter(wanted: Seconds, capture: Rate): Seconds {
  const fitting = dial.filter((time) => toNumber(time) * toNumber(capture) <= 1);
  const best = fitting.toSorted((a, b) => apart(a, wanted) - apart(b, wanted))[0];
  return best ?? nearestMarkedShutter(wanted, capture);
}

const wholeRates = [24, 25, 30, 48, 50, 60, 100, 120, 200].map((frames) => rate(frames));
const fractionRates = [24, 30, 48, 60, 120].map((frames) => rate(frames * 1000, 1001));

/** Capture rates worth using for a timeline: its own, those it divides evenly, and faster ones to be slowed. */
export function worthwhileRates(timeline: Rate): readonly Rate[] {
  const family = timeline.denominator === 1001n ? fractionRates : wholeRates;
  const all = family.some((one) => equal(one, timeline)) ? family : [timeline, ...family];
  return all.filter((capture) => compare(capture, timeline) >= 0);
}

/**
 * How to set the camera for each capture rate worth using, in a light given as EV at ISO 100 (undefined: not known) at an
 * f-number (undefined: not known). Rows are in order of rate. ISO 100 with a filter is preferred to a short shutter.
 */
export function settings(brief: Brief, lightEv: number | undefined, fNumber?: number): readonly SettingsRow[] {
  return worthwhileRates(brief.timelineRate).map((capture) => row(brief, capture, lightEv, fNumber));
}

function row(brief: Brief, capture: Rate, lightEv: number | undefined, fNumber: number | undefined): SettingsRow {
  const angle = fromNumber(brief.shutterAngleDegrees) ?? ratio(180n);
  const lamps =
    brief.artificialLight === "yes" || (brief.artificialLight === "infer" && (lightEv ?? 99) <= lampLightEv);
  const ideal = shutterTime(capture, angle);
  const asked = lamps ? lampShutter(brief, capture, ideal) : dialShutter(ideal, capture);
  const chosen =
    lightEv === undefined || fNumber === undefined ? undefined : expose(brief, capture, asked, lightEv, fNumber, lamps);
  const shutterSeconds = chosen?.shutterSeconds ?? asked;
  const angleDegrees = toNumber(shutterAngle(capture, shutterSeconds));
  const mainsSafeHertz = [50, 60].filter((mains) => flickerRipple(shutterSeconds, mains) <= safeRipple);
  const cannot = [...(chosen?.cannot ?? [])];
  if (lamps && brief.mainsHertz !== undefined && !mainsSafeHertz.includes(brief.mainsHertz)) {
    const safe = mainsSafeShutters(capture, brief.mainsHertz)[0];
    cannot.push(
      safe === undefined
        ? `at ${rateLabel(capture)} fps no shutter is safe under ${brief.mainsHertz} Hz lamps`
        : `${shutterLabel(shutterSeconds)} pulses under ${brief.mainsHertz} Hz lamps; ${shutterLabel(safe)} is safe`,
    );
  }
  const off = Math.abs(Math.log2(angleDegrees / brief.shutterAngleDegrees));
  if (cannot.length === 0 && off > brief.shutterToleranceStops + 1e-9) {
    cannot.push(`no ${short(brief.shutterAngleDegrees)}° that suits the lamps (${angleText(angleDegrees)})`);
  }
  const uses = usesOf(brief, capture, shutterSeconds);
  const light =
    chosen === undefined ? "" : ` ISO ${chosen.iso}${chosen.ndFactor > 1 ? ` ${ndLabel(chosen.ndFactor)}` : " no ND"}`;
  const head = `${rateLabel(capture)} fps ${shutterLabel(shutterSeconds)}${light}: ${uses.join("; ")}`;
  return {
    captureRate: capture,
    uses,
    shutterSeconds,
    angleDegrees,
    ...(chosen === undefined
      ? {}
      : {
          iso: chosen.iso,
          ndFactor: chosen.ndFactor,
          idealNdStops: chosen.idealNdStops,
          ...(brief.ndFactors === undefined ? {} : { ndAtHand: true }),
        }),
    mainsSafeHertz,
    cannot,
    possible: cannot.length === 0,
    says: cannot.length === 0 ? head : `${head}; not possible: ${cannot.join("; ")}`,
  };
}

/** The mains-safe time nearest to the wanted one; with the mains not known one that suits either as far as it can. */
function lampShutter(brief: Brief, capture: Rate, ideal: Seconds): Seconds {
  const mains = brief.mainsHertz === undefined ? [50, 60] : [brief.mainsHertz];
  const safe = mains.flatMap((hertz) => mainsSafeShutters(capture, hertz));
  let best: Seconds | undefined;
  for (const time of safe) if (best === undefined || apart(time, ideal) < apart(best, ideal)) best = time;
  return best ?? dialShutter(ideal, capture);
}

const apart = (a: Seconds, b: Seconds): number => Math.abs(Math.log2(toNumber(a) / toNumber(b)));

interface Chosen {
  readonly shutterSeconds: Seconds;
  readonly iso: number;
  readonly ndFactor: number;
  readonly idealNdStops: number;
  readonly cannot: readonly string[];
}

/** Shutter, ISO and filter for a light: the filter that needs the least shortening of the shutter or raising of ISO. */
function expose(
  brief: Brief,
  capture: Rate,
  wanted: Seconds,
  lightEv: number,
  fNumber: number,
  lamps: boolean,
): Chosen {
  const idealNdStops = ndStopsNeeded(lightEv, { shutterSeconds: wanted, iso: brief.baseIso, fNumber });
  const factors = [1, ...(brief.ndFactors ?? madeFilters)];
  let best: { factor: number; over: number; cost: number } | undefined;
  for (const factor of factors) {
    const over = idealNdStops - ndStopsOfFactor(factor);
    const cost = over > 0 ? costOfShortening(brief, over, lamps) : costOfIso(brief, -over);
    if (best === undefined || cost < best.cost - 1e-9) best = { factor, over, cost };
  }
  const { factor, over } = best ?? { factor: 1, over: idealNdStops };
  const cannot: string[] = [];
  let shutterSeconds = wanted;
  let iso = brief.baseIso;
  if (over > cameraStepStops) {
    const shorter = nearestTime(toNumber(wanted) * 2 ** -over);
    shutterSeconds = lamps ? lampShutter(brief, capture, shorter) : shorter;
    const bright = over - Math.log2(toNumber(wanted) / toNumber(shutterSeconds));
    if (over > brief.shutterToleranceStops || bright > cameraStepStops) {
      const angle = angleText(shutterAngle(capture, shutterSeconds));
      const filter = ndLabel(ndFactorOfStops(idealNdStops));
      cannot.push(`too bright for ${short(brief.shutterAngleDegrees)}° (${angle}); needs ${filter}`);
    }
  } else if (over < -cameraStepStops) {
    iso = thirdStopIso(brief.baseIso * 2 ** -over);
    if (brief.isoCeiling !== undefined && iso > brief.isoCeiling) {
      cannot.push(`too dark: ISO ${iso} is over the ceiling of ${brief.isoCeiling}`);
    } else if (iso > mostCameraIso) {
      cannot.push(`too dark: ISO ${iso} is more than small cameras have`);
    }
  }
  return { shutterSeconds, iso, ndFactor: factor, idealNdStops, cannot };
}

/** Highest ISO that small cameras offer for moving pictures; common practice, no source. */
const mostCameraIso = 25_600;

/** Ranks what cannot be had after everything that can. */
const outOfReach = 100;

/** Inside the tolerance a shorter shutter costs little, but under lamps it must not leave its whole pulses. */
function costOfShortening(brief: Brief, stops: number, lamps: boolean): number {
  if (stops <= cameraStepStops) return stops * 0.4;
  if (lamps || stops > brief.shutterToleranceStops) return outOfReach + stops;
  return stops * 0.4;
}

/** ISO makes up for too little light at half the cost of a short shutter, up to the ceiling. */
function costOfIso(brief: Brief, stops: number): number {
  const iso = stops > cameraStepStops ? thirdStopIso(brief.baseIso * 2 ** stops) : brief.baseIso;
  return stops / 2 + (brief.isoCeiling !== undefined && iso > brief.isoCeiling ? outOfReach : 0);
}

/** The marked time nearest to a number of seconds, past the dial's end the exact one. */
function nearestTime(open: number): Seconds {
  const exact = seconds(1, Math.max(1, Math.round(1 / open)));
  let best: Seconds | undefined;
  for (const time of dial) {
    if (best === undefined || apart(time, exact) < apart(best, exact)) best = time;
  }
  return best !== undefined && apart(best, exact) < 0.5 ? best : exact;
}

const isoSteps = [1, 1.25, 1.6] as const;

/** The ISO of the third-stop scale (100, 125, 160, 200 …) nearest to a number. Common practice, no source. */
export function thirdStopIso(wanted: number): number {
  let best = 100;
  for (let doubling = -2; doubling <= 12; doubling += 1) {
    for (const step of isoSteps) {
      const iso = Math.round(100 * 2 ** doubling * step);
      if (Math.abs(Math.log2(iso / wanted)) < Math.abs(Math.log2(best / wanted))) best = iso;
    }
  }
  return best;
}

function usesOf(brief: Brief, capture: Rate, open: Seconds): readonly string[] {
  const uses: string[] = [];
  const timeline = brief.timelineRate;
  const atCapture = angleText(shutterAngle(capture, open));
  const real = realTimeCadence(capture, timeline);
  if (isEven(real)) {
    const seen = isWhole(real.step) ? divide(shutterAngle(capture, open), real.step) : shutterAngle(capture, open);
    uses.push(`real time ${angleText(seen)}`);
  }
  const slow = cleanSlowSpeeds(capture, timeline)[0];
  if (slow !== undefined) uses.push(`slow to ${percentLabel(slow.speed)} % ${atCapture}`);
  return uses;
}

/** What a next flight needs: rows for the light, as lines of text, with the caution. */
export function nextFlight(
  brief: Brief,
  light: { readonly lightEv: number; readonly lightFrom: string } | undefined,
  fNumber: number | undefined,
): NextFlight {
  const rows = settings(brief, light?.lightEv, fNumber);
  const known =
    light === undefined
      ? "The light is not known: shutter only. State highestLight, or switch telemetry on."
      : fNumber === undefined
        ? `Light about EV ${short(light.lightEv)}; the f-number is not known: shutter only.`
        : `Light about EV ${short(light.lightEv)} (${light.lightFrom}), f/${short(fNumber)}; give or take one stop.`;
  return {
    rows,
    ...(light === undefined ? {} : light),
    ...(fNumber === undefined ? {} : { fNumber }),
    text: [known, ...rows.map((line) => line.says)],
    caution: flyingCaution,
  };
}

/** ISO needed for the wanted angle at a rate without any filter. */
export function isoForAngle(brief: Brief, capture: Rate, lightEv: number, fNumber: number): number {
  const open = toNumber(shutterTime(capture, fromNumber(brief.shutterAngleDegrees) ?? ratio(180n)));
  return 100 * 2 ** (Math.log2((fNumber * fNumber) / open) - lightEv);
}
