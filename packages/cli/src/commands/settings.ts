import { basename } from "node:path";
import { completeBrief, parseRatio, type NextFlight, type StatedBrief, toNumber } from "@goodgate/model";
import { CommandError } from "../command-error.ts";
import { exitCodes } from "../exit-codes.ts";
import type { Io } from "../io.ts";
import { type BriefOptions, readStatedBrief } from "../stated-brief.ts";
import { readReport } from "./report.ts";

/** Options of `goodgate settings`. */
export interface SettingsOptions extends BriefOptions {
  readonly light?: number;
  readonly from?: string;
  readonly aperture?: number;
  readonly json?: boolean;
}

/** Range of light values a camera meets, EV at ISO 100: starlight to snow in full sun (from memory). */
const leastLight = -6;
const mostLight = 20;
/** F-number when nobody states one: most small camera aircraft have one fixed aperture about here (common practice, no source). */
const assumedAperture = 2.8;

/** What of a report's brief decides settings, as far as somebody stated it; its timeline rate in any case. */
function briefOf(brief: { readonly items: Readonly<Record<string, unknown>>; readonly assumed: object }): StatedBrief {
  const stated = (name: string): unknown => (name in brief.assumed ? undefined : brief.items[name]);
  const number = (name: string): number | undefined => {
    const value = stated(name);
    return typeof value === "number" && value > 0 ? value : undefined;
  };
  const rate = parseRatio(String(brief.items["timelineRate"]));
  const [ceiling, base, angle] = [number("isoCeiling"), number("baseIso"), number("shutterAngleDegrees")];
  const [tolerance, mains] = [number("shutterToleranceStops"), number("mainsHertz")];
  const [lamps, filters] = [stated("artificialLight"), stated("ndFactors")];
  return {
    ...(rate !== undefined && toNumber(rate) > 0 ? { timelineRate: rate } : {}),
    ...(ceiling === undefined ? {} : { isoCeiling: ceiling }),
    ...(base === undefined ? {} : { baseIso: base }),
    ...(angle === undefined ? {} : { shutterAngleDegrees: angle }),
    ...(tolerance === undefined ? {} : { shutterToleranceStops: tolerance }),
    ...(mains === 50 || mains === 60 ? { mainsHertz: mains } : {}),
    ...(lamps === "yes" || lamps === "no" ? { artificialLight: lamps } : {}),
    ...(Array.isArray(filters) ? { ndFactors: filters.filter((each) => typeof each === "number" && each > 0) } : {}),
  };
}

/** Prints what to set on the next flight. */
export async function settingsCommand(options: SettingsOptions, io: Io): Promise<number> {
  const { stated } = await readStatedBrief(options);
  let light = options.light;
  let aperture = options.aperture;
  let inForce = stated;
  if (options.from !== undefined) {
    const report = await readReport(options.from);
    light ??= report.nextFlight?.lightEv;
    aperture ??= report.nextFlight?.fNumber;
    inForce = { ...briefOf(report.brief), ...stated };
    if (light === undefined)
      throw new CommandError(`${options.from}: no light value in it: give one with --light, such as --light 13`);
  }
  light ??= stated.highestLightEv;
  if (light === undefined)
    throw new CommandError("how bright is it? give --light, such as --light 15 for full sun, or --from report.json");
  if (light < leastLight || light > mostLight)
    throw new CommandError(
      `--light ${light}: a light value from ${leastLight} to ${mostLight} is expected (full sun is 15)`,
    );
  if (aperture !== undefined && (aperture < 0.7 || aperture > 45))
    throw new CommandError(`--aperture ${aperture}: an f-number from 0.7 to 45 is expected`);
  const { nextFlight } = await import("@goodgate/rules");
  const from = options.light === undefined ? (options.from ?? "the brief") : "--light";
  const flight: NextFlight = nextFlight(
    completeBrief(inForce),
    { lightEv: light, lightFrom: basename(from) },
    aperture ?? assumedAperture,
  );
  const assumed = aperture === undefined ? `assumed: f/${assumedAperture}; --aperture states another` : undefined;
  if (options.json === true) {
    const { plainValue } = await import("@goodgate/report/fact-values");
    io.print(
      `${JSON.stringify(plainValue({ ...flight, ...(assumed === undefined ? {} : { assumed }) }), undefined, 2)}\n`,
    );
  } else {
    const { renderSettings } = await import("@goodgate/report/settings-table");
    io.print(
      renderSettings(flight, { ...(assumed === undefined ? {} : { assumed }), columns: io.columns, colour: io.colour }),
    );
  }
  return exitCodes.good;
}
