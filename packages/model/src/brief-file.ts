import { LineCounter, parseDocument, type Document } from "yaml";
import { z } from "zod";
import type { StatedBrief } from "./brief.ts";
import { parseRate } from "./quantities.ts";
import { parseRatio, type Ratio } from "./ratio.ts";

/** A brief that could not be read; the message names the line, the key and what was expected. */
export class BriefError extends Error {}

const asText = z.union([z.string(), z.number()]).transform(String);

const rateField = asText.transform((text, context) => {
  const value = parseRate(text);
  if (value !== undefined) return value;
  context.addIssue({
    code: "custom",
    message: `expected a frame rate such as 25, 29.97 or 24000/1001, found "${text}"`,
  });
  return z.NEVER;
});

const speedField = asText.transform((text, context) => {
  const percent = /^\s*([\d.]+)\s*%\s*$/.exec(text)?.[1];
  const value: Ratio | undefined = percent === undefined ? parseRatio(text) : parseRatio(`${percent}/100`);
  if (value !== undefined && value.numerator > 0n) return value;
  context.addIssue({ code: "custom", message: `expected a speed such as 1/2, 0.5 or 50%, found "${text}"` });
  return z.NEVER;
});

const treatment = z.enum(["real", "slow", "either"], { error: "expected real, slow or either" });
const pattern = z.string({ error: "expected a folder or a name pattern as text" }).min(1);
const positive = (what: string) => z.number({ error: `expected ${what}` }).positive(`expected ${what}`);

const ndField = z.union([z.number(), z.string()]).transform((given, context) => {
  const factor = typeof given === "number" ? given : Number(/^\s*(?:nd)?\s*(\d+)\s*$/i.exec(given)?.[1] ?? Number.NaN);
  if (Number.isFinite(factor) && factor >= 1 && factor <= 1_000_000) return factor;
  context.addIssue({ code: "custom", message: `expected a filter factor such as 8 or ND8, found "${String(given)}"` });
  return z.NEVER;
});

/** The shape of a brief file; unknown keys are refused, so that a misspelt one is not silently ignored. */
export const briefSchema = z.strictObject({
  timeline: rateField.optional(),
  raster: z
    .string({ error: "expected a raster such as 3840x2160" })
    .transform((text, context) => {
      const match = /^\s*(\d{2,5})\s*[x×]\s*(\d{2,5})\s*$/i.exec(text);
      if (match !== null) return { width: Number(match[1]), height: Number(match[2]) };
      context.addIssue({ code: "custom", message: `expected a raster such as 3840x2160, found "${text}"` });
      return z.NEVER;
    })
    .optional(),
  treatment: treatment.optional(),
  slowSpeed: speedField.optional(),
  treatments: z.array(z.strictObject({ clips: pattern, treatment, speed: speedField.optional() })).optional(),
  isoCeiling: positive("an ISO value such as 800").optional(),
  isoCeilings: z.array(z.strictObject({ clips: pattern, ceiling: positive("an ISO value such as 800") })).optional(),
  baseIso: positive("an ISO value such as 100").optional(),
  shutterAngle: positive("an angle in degrees such as 180")
    .max(360, "expected an angle of at most 360 degrees")
    .optional(),
  shutterTolerance: positive("a number of stops such as 0.5").max(4, "expected at most 4 stops").optional(),
  mains: z.union([z.literal(50), z.literal(60)], { error: "expected 50 or 60" }).optional(),
  artificialLight: z.enum(["yes", "no", "infer"], { error: 'expected "yes", "no" or "infer"' }).optional(),
  nd: z.array(ndField, { error: "expected a list of filters such as [8, 16, 64]" }).optional(),
  highestLight: z.number({ error: "expected a light value such as 15" }).min(-6).max(22).optional(),
  delivery: z.enum(["sdr", "hdr"], { error: "expected sdr or hdr" }).optional(),
  sound: z.boolean({ error: "expected true or false" }).optional(),
  timecode: z.boolean({ error: "expected true or false" }).optional(),
  strictCadence: z.boolean({ error: "expected true or false" }).optional(),
  motionLook: z.enum(["natural", "crisp"], { error: "expected natural or crisp" }).optional(),
  portrait: z.boolean({ error: "expected true or false" }).optional(),
  shots: z
    .array(
      z.strictObject({
        name: z.string(),
        clips: pattern,
        treatment: treatment.optional(),
        count: z.number().int().positive().optional(),
      }),
    )
    .optional(),
});

/** Reads a brief from YAML text. Throws a BriefError whose message names `name`, line, key and what was expected. */
export function parseBrief(text: string, name: string): StatedBrief {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, strict: true });
  const broken = document.errors[0];
  if (broken !== undefined) {
    throw new BriefError(
      `${name}, line ${lines.linePos(broken.pos[0]).line}: ${broken.message.split("\n")[0]?.replace(/ at line.*$/, "")}`,
    );
  }
  let plain: unknown;
  try {
    plain = document.toJS({ maxAliasCount: 50 });
  } catch (error) {
    throw new BriefError(`${name}: ${error instanceof Error ? error.message : String(error)}`);
  }
  const result = briefSchema.safeParse(plain ?? {});
  if (!result.success) {
    const issue = result.error.issues[0];
    const path = (issue?.path ?? []).filter((part) => typeof part !== "symbol");
    const key = issue?.code === "unrecognized_keys" ? [...path, ...issue.keys].join(".") : path.join(".");
    const says =
      issue?.code === "unrecognized_keys"
        ? `unknown key; expected one of ${Object.keys(briefSchema.shape).join(", ")}`
        : issue?.code === "invalid_type" && path.length === 0
          ? "expected keys with values, such as timeline: 25"
          : (issue?.message ?? "not understood");
    const where = issue?.code === "unrecognized_keys" ? [...path, ...issue.keys.slice(0, 1)] : path;
    throw new BriefError(`${name}, line ${lineOf(document, lines, where)}${key === "" ? "" : `, ${key}`}: ${says}`);
  }
  const given = result.data;
  const stated: Record<string, unknown> = {
    timelineRate: given.timeline,
    raster: given.raster,
    treatment: given.treatment,
    slowSpeed: given.slowSpeed,
    treatments: given.treatments?.map((entry) => ({
      pattern: entry.clips,
      treatment: entry.treatment,
      ...(entry.speed === undefined ? {} : { speed: entry.speed }),
    })),
    isoCeiling: given.isoCeiling,
    isoCeilings: given.isoCeilings?.map((entry) => ({ pattern: entry.clips, ceiling: entry.ceiling })),
    baseIso: given.baseIso,
    shutterAngleDegrees: given.shutterAngle,
    shutterToleranceStops: given.shutterTolerance,
    mainsHertz: given.mains,
    artificialLight: given.artificialLight,
    ndFactors: given.nd,
    highestLightEv: given.highestLight,
    delivery: given.delivery,
    soundWanted: given.sound,
    timecodeWanted: given.timecode,
    strictCadence: given.strictCadence,
    motionLook: given.motionLook,
    portrait: given.portrait,
    shots: given.shots?.map((shot) => ({
      name: shot.name,
      pattern: shot.clips,
      count: shot.count ?? 1,
      ...(shot.treatment === undefined ? {} : { treatment: shot.treatment }),
    })),
  };
  // A brief states only what was written: undefined must not hide a default.
  return Object.fromEntries(Object.entries(stated).filter(([, value]) => value !== undefined));
}

/** The line of a key, or of its nearest parent that exists. */
function lineOf(document: Document, lines: LineCounter, path: readonly (string | number)[]): number {
  for (let length = path.length; length > 0; length -= 1) {
    const parent = document.getIn(path.slice(0, length - 1), true);
    const last = path[length - 1];
    if (parent !== null && typeof parent === "object" && "items" in parent) {
      for (const item of (parent as { items: unknown[] }).items) {
        const key = (item as { key?: { value?: unknown; range?: [number, number, number] } }).key;
        if (key?.value === last && key?.range !== undefined) return lines.linePos(key.range[0]).line;
      }
    }
    const node = document.getIn(path.slice(0, length), true) as { range?: [number, number, number] } | undefined;
    if (node?.range !== undefined) return lines.linePos(node.range[0]).line;
  }
  return 1;
}
