import { basename } from "node:path";
import { completeBrief, parseRatio, type NextFlight, toNumber } from "@goodgate/model";
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
    const items = report.brief.items;
    const rate = parseRatio(String(items["timelineRate"]));
    if (inForce.timelineRate === undefined && rate !== undefined && toNumber(rate) > 0)
      inForce = { ...inForce, timelineRate: rate };
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
