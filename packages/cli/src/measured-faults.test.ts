// Faults that are really in the pictures, through the whole audit.
import { join } from "node:path";
import type { Report } from "@goodgate/report";
import { beforeAll, expect, test } from "vitest";
import { faultShots, makeFaultCard } from "../../../fixtures/fault-card/make.ts";
import { cacheFolder } from "../../../fixtures/places.ts";
import { audit } from "./commands/audit.ts";
import { madeIo } from "./made-io.ts";

const folder = join(cacheFolder, "fault-card");
let measured: Report;
let plain: Report;

async function audited(options: { readonly measure?: "all" }): Promise<Report> {
  const io = madeIo();
  await audit([folder], { json: true, timeline: "25", treatment: "real", ...options } as never, io);
  return JSON.parse(io.printed.join("")) as Report;
}

beforeAll(async () => {
  await makeFaultCard(folder);
  [measured, plain] = [await audited({ measure: "all" }), await audited({})];
}, 240_000);

const clipOf = (report: Report, name: string) => report.clips.find((clip) => clip.name === `${name}.MP4`);
/** What the rules about pictures say of a clip: `rule grade`. */
const saidOf = (name: string): readonly string[] =>
  (clipOf(measured, name)?.findings ?? [])
    .filter(({ says }) => says.includes("looked at"))
    .map(({ rule, grade }) => `${rule} ${grade}`)
    .sort();
const sentence = (name: string, rule: string): string =>
  clipOf(measured, name)?.findings.find((finding) => finding.rule === rule)?.says ?? "";

// Noise of known deviation, blur of known angles, repeats in a known pattern: what was filmed is the witness.
const truth: Readonly<Record<string, readonly string[]>> = {
  BLACK: ["black-frozen note"],
  BLUR_45: ["pan-measured workable", "shutter-angle workable"],
  CLEAN: [],
  CLIPPED: ["clipped-or-crushed workable"],
  COMBED: ["pan-measured note", "scan-flag-wrong workable"],
  DRIFT: ["drift-measured note"],
  FAST_PAN: ["pan-measured workable"],
  FLICKER: ["flicker-measured workable"],
  FROZEN: ["black-frozen note"],
  NOISE: ["noise-measured workable"],
  RANGE: ["range-flag-wrong workable"],
  REPEATS: ["pan-measured note", "repeated-pictures workable"],
  SHAKE: ["pan-measured note", "shake workable"],
  STALL: ["repeated-pictures workable"],
  WRONG_TELEMETRY: ["blur-against-shutter note", "pan-measured workable"],
};

test("every clip of the card is spoken of", () => {
  expect(Object.keys(truth)).toEqual(faultShots.map(({ name }) => name));
  expect(measured.clips.map((clip) => clip.name)).toEqual(Object.keys(truth).map((name) => `${name}.MP4`));
});

for (const [name, said] of Object.entries(truth)) {
  test(`${name} is told as ${said.join(" and ") || "nothing"}`, () => {
    const { findings } = clipOf(measured, name) ?? { findings: [] };
    expect(saidOf(name), findings.map(({ says }) => says).join("\n")).toEqual(said);
  });
}

test("the sentences name what was filmed", () => {
  expect(sentence("REPEATS", "repeated-pictures")).toContain("true rate is 24 fps, not 30");
  expect(sentence("FLICKER", "flicker-measured")).toContain(
    "5 % at 4 Hz (limit 3 %), fits 50 Hz mains (inferred); set 1/50",
  );
  expect(sentence("BLACK", "black-frozen")).toContain("black from 0.8 s to 2.4 s");
  const degrees = Number(/Blur says (\d+)°/.exec(sentence("BLUR_45", "shutter-angle"))?.[1]);
  expect(Math.abs(degrees - 45)).toBeLessThanOrEqual(12);
  expect(sentence("WRONG_TELEMETRY", "blur-against-shutter")).toContain("the recorded 1/1000 9°");
});

test("a shutter that the blur contradicts is judged by the blur", () => {
  expect(clipOf(plain, "WRONG_TELEMETRY")?.findings.map(({ rule }) => rule)).toContain("shutter-angle");
  expect(clipOf(measured, "WRONG_TELEMETRY")?.passed).toContain("shutter-angle");
  const angleOf = (report: Report) => clipOf(report, "WRONG_TELEMETRY")?.uses[0];
  expect(angleOf(measured)?.angleOrigin).toBe("measured");
  expect(Math.abs((angleOf(measured)?.angleDegrees ?? 0) - 180)).toBeLessThanOrEqual(12);
  expect(angleOf(plain)?.angleDegrees).toBeCloseTo(9, 9);
  expect(angleOf(plain)?.angleOrigin).toBeUndefined();
});

test("a clip with regular repeats is planned at its true rate", () => {
  expect(clipOf(measured, "REPEATS")?.plan.cadence).toBe(clipOf(plain, "FLICKER")?.plan.cadence);
  expect(clipOf(plain, "REPEATS")?.plan.cadence).not.toBe(clipOf(plain, "FLICKER")?.plan.cadence);
});

test("what the pictures cannot tell is unknown with the reason, and decides nothing", () => {
  const unknown = clipOf(measured, "CLEAN")?.unknown.find(({ rule }) => rule === "flicker-measured");
  expect(unknown).toMatchObject({ decides: false, aside: true });
  expect(unknown?.says).toContain("no run of 3.5 s was looked at");
});

test("without --measure no rule asks the pictures", () => {
  const asking = new Set(Object.values(truth).flatMap((said) => said.map((each) => each.split(" ")[0])));
  asking.delete("shutter-angle");
  for (const { findings, unknown, passed } of plain.clips) {
    const spoke = [...findings.map(({ rule }) => rule), ...unknown.map(({ rule }) => rule), ...passed];
    expect(spoke.filter((rule) => asking.has(rule))).toEqual([]);
  }
});
