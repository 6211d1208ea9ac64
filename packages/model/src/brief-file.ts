import { type Document, isScalar, LineCounter, parseDocument, visit } from "yaml";
import { z } from "zod";
import type { StatedBrief } from "./brief.ts";
import { parseRate, rate } from "./quantities.ts";
import { compare, one, parseRatio, type Ratio } from "./ratio.ts";

/** A brief that could not be read; the message names the line, the key and what was expected. */
export class BriefError extends Error {}

/** Characters of a brief: a thousand clips named one by one are a quarter of it. */
export const longestBrief = 200_000;

/** Timelines slower or faster than these are slips of the pen; the fastest standard rate is 240. */
const slowestRate = rate(1);
const fastestRate = rate(1000);

const rateExpected = "expected a frame rate such as 25, 29.97 or 24000/1001";
const speedExpected = "expected a speed of at most real time, such as 1/2, 0.5 or 50%";
const filterExpected = "expected a filter factor such as 8 or ND8";
const rasterExpected = "expected a raster such as 3840x2160";

const asText = (expected: string) => z.union([z.string(), z.number()], { error: expected }).transform(String);

const rateField = asText(rateExpected).transform((text, context) => {
  const value = parseRate(text);
  if (value !== undefined && compare(value, slowestRate) >= 0 && compare(value, fastestRate) <= 0) return value;
  context.addIssue({ code: "custom", message: `${rateExpected}, found "${shortened(text)}"` });
  return z.NEVER;
});

const speedField = asText(speedExpected).transform((text, context) => {
  const percent = /^\s*([\d.]+)\s*%\s*$/.exec(text)?.[1];
  const value: Ratio | undefined = percent === undefined ? parseRatio(text) : parseRatio(`${percent}/100`);
  if (value !== undefined && value.numerator > 0n && compare(value, one) <= 0) return value;
  context.addIssue({ code: "custom", message: `${speedExpected}, found "${shortened(text)}"` });
  return z.NEVER;
});

/** What somebody wrote, short and printable enough for one line. */
const shortened = (text: string): string => {
  const line = text.replace(/[\s\p{C}]+/gu, " ");
  return line.length > 40 ? `${line.slice(0, 40)}…` : line;
};

const treatment = z.enum(["real", "slow", "either"], { error: "expected real, slow or either" });
const pattern = z
  .string({ error: "expected a folder or a name pattern as text" })
  .min(1, "expected a folder or a name pattern as text");
const positive = (what: string) => z.number({ error: `expected ${what}` }).positive(`expected ${what}`);
const lightExpected = "expected a light value from -6 to 22, such as 15";
const noiseExpected = "a share of the signal range in percent, such as 0.8";
const countExpected = "expected a whole number of clips such as 2";

const ndField = z.union([z.number(), z.string()], { error: filterExpected }).transform((given, context) => {
  const factor = typeof given === "number" ? given : Number(/^(?:nd)?\s*(\d+)$/i.exec(given.trim())?.[1] ?? Number.NaN);
  if (Number.isFinite(factor) && factor >= 1 && factor <= 1_000_000) return factor;
  context.addIssue({ code: "custom", message: `${filterExpected}, found "${shortened(String(given))}"` });
  return z.NEVER;
});

const rasterField = z.string({ error: rasterExpected }).transform((text, context) => {
  const match = /^\s*([1-9]\d{1,4})\s*[x×]\s*([1-9]\d{1,4})\s*$/i.exec(text);
  if (match !== null) return { width: Number(match[1]), height: Number(match[2]) };
  context.addIssue({ code: "custom", message: `${rasterExpected}, found "${shortened(text)}"` });
  return z.NEVER;
});

const treatmentEntry = z.strictObject(
  { clips: pattern, treatment, speed: speedField.optional() },
  { error: entryError("clips: a pattern, treatment: real, slow or either, and perhaps speed: 1/2") },
);
const ceilingEntry = z.strictObject(
  { clips: pattern, ceiling: positive("an ISO value such as 800") },
  { error: entryError("clips: a pattern and ceiling: an ISO value") },
);
const shotEntry = z.strictObject(
  {
    name: z.string({ error: "expected the name of a shot as text" }),
    clips: pattern,
    treatment: treatment.optional(),
    count: z.number({ error: countExpected }).int(countExpected).positive(countExpected).optional(),
  },
  { error: entryError("name: of the shot, clips: a pattern, and perhaps treatment and count") },
);

/** What an entry of a list should hold, said both for a wrong shape and for a key it does not know. */
function entryError(holds: string) {
  return (issue: { readonly code?: string }): string =>
    issue.code === "unrecognized_keys" ? `unknown key; expected ${holds}` : `expected ${holds}`;
}

const briefKeys = {
  timeline: rateField.optional(),
  raster: rasterField.optional(),
  treatment: treatment.optional(),
  slowSpeed: speedField.optional(),
  treatments: z.array(treatmentEntry, { error: "expected a list of clips and their treatment" }).optional(),
  isoCeiling: positive("an ISO value such as 800").optional(),
  isoCeilings: z.array(ceilingEntry, { error: "expected a list of clips and their ceiling" }).optional(),
  baseIso: positive("an ISO value such as 100").optional(),
  noiseLimit: positive(noiseExpected).max(50, `expected ${noiseExpected}`).optional(),
  shutterAngle: positive("an angle in degrees such as 180")
    .max(360, "expected an angle of at most 360 degrees")
    .optional(),
  shutterTolerance: positive("a number of stops such as 0.5").max(4, "expected at most 4 stops").optional(),
  mains: z.union([z.literal(50), z.literal(60)], { error: "expected 50 or 60" }).optional(),
  artificialLight: z.enum(["yes", "no", "infer"], { error: 'expected "yes", "no" or "infer"' }).optional(),
  nd: z.array(ndField, { error: "expected a list of filters such as [8, 16, 64]" }).optional(),
  highestLight: z.number({ error: lightExpected }).min(-6, lightExpected).max(22, lightExpected).optional(),
  delivery: z.enum(["sdr", "hdr"], { error: "expected sdr or hdr" }).optional(),
  sound: z.boolean({ error: "expected true or false" }).optional(),
  timecode: z.boolean({ error: "expected true or false" }).optional(),
  strictCadence: z.boolean({ error: "expected true or false" }).optional(),
  motionLook: z.enum(["natural", "crisp"], { error: "expected natural or crisp" }).optional(),
  portrait: z.boolean({ error: "expected true or false" }).optional(),
  shots: z.array(shotEntry, { error: "expected a list of shots" }).optional(),
};

/** The shape of a brief file; unknown keys are refused, so that a misspelt one is not silently ignored. */
export const briefSchema = z.strictObject(briefKeys, {
  error: (issue) =>
    issue.code === "unrecognized_keys"
      ? `unknown key; expected one of ${Object.keys(briefKeys).join(", ")}`
      : "expected keys with values, such as timeline: 25",
});

/** Uses of anchors allowed in a brief: nobody needs more, and nested ones can blow a small file up to gigabytes. */
const mostAliases = 50;

/** Brackets open at once: a brief needs three. The parser recurses, and a thousand of them can end the process. */
const mostOpenBrackets = 64;
/** Spaces and dashes before the text of a line, for the same reason. */
const deepestIndent = 200;

function nestsTooDeeply(text: string): boolean {
  let open = 0;
  for (const sign of text) {
    if (sign === "[" || sign === "{") open += 1;
    else if ((sign === "]" || sign === "}") && open > 0) open -= 1;
    if (open > mostOpenBrackets) return true;
  }
  return text.split(/[\r\n]/).some((line) => (/^[\s?-]*/.exec(line)?.[0].length ?? 0) > deepestIndent);
}

/** Characters of the parser's own words that are passed on: it may quote the whole file. */
const longestWords = 120;

const firstLine = (text: string): string => text.split("\n")[0] ?? "";

/** Reads a brief from YAML text. Throws a BriefError whose message names `name`, line, key and what was expected. */
export function parseBrief(given: string, name: string): StatedBrief {
  if (given.length > longestBrief) {
    throw new BriefError(`${name}: longer than the ${longestBrief} characters a brief may have`);
  }
  // One kind of line end (YAML 1.2, section 5.4): the parser takes minutes over a hundred thousand bare returns.
  const text = given.replace(/\r\n?/g, "\n");
  if (nestsTooDeeply(text)) throw new BriefError(`${name}: nested deeper than a brief can be`);
  const lines = new LineCounter();
  let document: ReturnType<typeof parseDocument>;
  try {
    document = parseDocument(text, {
      lineCounter: lines,
      strict: true,
      logLevel: "error",
      // The parser compares every key with every other: ten thousand of them take seconds.
      uniqueKeys: false,
    });
  } catch (error) {
    // There are more ways to nest than brackets and indents, such as a line of colons: the parser runs out of stack.
    if (error instanceof RangeError) throw new BriefError(`${name}: nested deeper than a brief can be`);
    throw error;
  }
  const broken = document.errors[0];
  if (broken !== undefined) {
    const line = `${name}, line ${lines.linePos(broken.pos[0]).line}`;
    if (broken.code === "MULTIPLE_DOCS") throw new BriefError(`${line}: a second document begins; expected one`);
    const says = firstLine(broken.message).split(" at line", 1)[0] ?? "";
    throw new BriefError(`${line}: ${says.length > longestWords ? `${says.slice(0, longestWords)}…` : says}`);
  }
  const twice = keyGivenTwice(document);
  if (twice !== undefined) {
    const line = lines.linePos(twice.at).line;
    throw new BriefError(`${name}, line ${line}, ${shortened(twice.key)}: given twice; expected once`);
  }
  let plain: unknown;
  try {
    plain = document.toJS({ maxAliasCount: mostAliases });
  } catch (error) {
    // Aliases without an anchor, in a ring, or more than `mostAliases`.
    throw new BriefError(
      `${name}: its aliases cannot be followed: ${error instanceof Error ? shortened(error.message) : ""}`,
    );
  }
  const result = briefSchema.safeParse(plain ?? {});
  if (!result.success) {
    const issue = result.error.issues[0];
    const path = (issue?.path ?? []).filter((part) => typeof part !== "symbol");
    const where = issue?.code === "unrecognized_keys" ? [...path, ...issue.keys.slice(0, 1)] : path;
    const key = shortened(where.join("."));
    throw new BriefError(
      `${name}, line ${lineOf(document, lines, where)}${key === "" ? "" : `, ${key}`}: ${issue?.message ?? "not understood"}`,
    );
  }
  const said = result.data;
  const stated: Record<string, unknown> = {
    timelineRate: said.timeline,
    raster: said.raster,
    treatment: said.treatment,
    slowSpeed: said.slowSpeed,
    treatments: said.treatments?.map((entry) => ({
      pattern: entry.clips,
      treatment: entry.treatment,
      ...(entry.speed === undefined ? {} : { speed: entry.speed }),
    })),
    isoCeiling: said.isoCeiling,
    isoCeilings: said.isoCeilings?.map((entry) => ({ pattern: entry.clips, ceiling: entry.ceiling })),
    baseIso: said.baseIso,
    noiseLimitPercent: said.noiseLimit,
    shutterAngleDegrees: said.shutterAngle,
    shutterToleranceStops: said.shutterTolerance,
    mainsHertz: said.mains,
    artificialLight: said.artificialLight,
    ndFactors: said.nd,
    highestLightEv: said.highestLight,
    delivery: said.delivery,
    soundWanted: said.sound,
    timecodeWanted: said.timecode,
    strictCadence: said.strictCadence,
    motionLook: said.motionLook,
    portrait: said.portrait,
    shots: said.shots?.map((shot) => ({
      name: shot.name,
      pattern: shot.clips,
      count: shot.count ?? 1,
      ...(shot.treatment === undefined ? {} : { treatment: shot.treatment }),
    })),
  };
  // A brief states only what was written: undefined must not hide a default.
  return Object.fromEntries(Object.entries(stated).filter(([, value]) => value !== undefined));
}

/** The first key that stands twice in one map: YAML 1.2, section 3.2.1.3 has keys unique. */
function keyGivenTwice(document: Document): { readonly key: string; readonly at: number } | undefined {
  let twice: { key: string; at: number } | undefined;
  visit(document, {
    Map(_, { items }) {
      const seen = new Set<unknown>();
      for (const { key } of items) {
        if (!isScalar(key)) continue;
        if (seen.has(key.value)) {
          twice = { key: String(key.value), at: key.range?.[0] ?? 0 };
          return visit.BREAK;
        }
        seen.add(key.value);
      }
      return undefined;
    },
  });
  return twice;
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
