// usage: tsx scripts/agreement.ts [folder …] [--mediainfo]
// Compares `goodgate facts --jsonl` with ffprobe's JSON and with mediabunny on every footage file below the folders
// (default: the samples and the clips of scripts/agreement/clips.ts). A comparison counts where the other readers that
// have an answer agree with each other; one answer alone counts too. Ends with 1 when goodgate says otherwise in more
// than 0.5 % of the comparisons where two or more agree, or in one that explained.ts does not explain.
import { execFileSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { cacheFolder, projectFolder, samplesFolder } from "../fixtures/places.ts";
import { makeSamples } from "../fixtures/samples/make.ts";
import { findFfprobe } from "../packages/probe/src/ffprobe/find-ffprobe.ts";
import { makeClips } from "./agreement/clips.ts";
import { explanations } from "./agreement/explained.ts";
import {
  type Answers,
  askFfprobe,
  askMediabunny,
  askMediainfo,
  comparedFacts,
  type Value,
} from "./agreement/readers.ts";

/** The bar. */
const leastShare = 0.995;

const asked = process.argv.slice(2).filter((argument) => !argument.startsWith("--"));
const withMediainfo = process.argv.includes("--mediainfo");
const clipsFolder = join(cacheFolder, "agreement");
if (asked.length === 0) {
  await makeSamples(samplesFolder);
  await makeClips(clipsFolder);
}
const ffprobe = await findFfprobe();
if (ffprobe === undefined) throw new Error("no ffprobe that runs");

/** The flat lines of one folder, by path. */
function factsOf(folder: string): ReadonlyMap<string, Answers> {
  const command = ["--import", "tsx", "packages/cli/src/goodgate.ts", "facts", folder, "--jsonl"];
  let lines = "";
  try {
    lines = execFileSync(process.execPath, command, { encoding: "utf8", maxBuffer: 1 << 28, cwd: projectFolder });
  } catch (error) {
    // A folder with damaged files ends with exit code 1, which is no failure here.
    lines = (error as { readonly stdout: string }).stdout;
  }
  const parsed = lines.split("\n").filter((line) => line !== "");
  return new Map(
    parsed
      .map((line) => JSON.parse(line) as Answers & { readonly path: string })
      .map((line) => [line.path, line] as const),
  );
}

/** Lengths may differ by half a picture; everything else is equal or not. */
function same(name: string, a: Value, b: Value, rate: Value | undefined): boolean {
  if (name !== "durationSeconds" || typeof a !== "number" || typeof b !== "number") return a === b;
  const [pictures = 25, seconds = 1] = String(rate ?? "25/1")
    .split("/")
    .map(Number);
  return Math.abs(a - b) <= seconds / pictures / 2;
}

let files = 0;
let compared = 0;
let equal = 0;
let both = 0;
let bothEqual = 0;
let unexplained = 0;
const footage = /\.(mp4|mov|m4v|qt|3gp|3g2|mkv|webm|ts|mts|m2ts|mxf|avi|mpg|ogv|flv|wmv|asf|dv|lrf|lrv)$/i;
for (const folder of asked.length === 0 ? [samplesFolder, clipsFolder] : asked) {
  const ours = factsOf(folder);
  const paths = readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((path) => path.replaceAll("\\", "/"))
    .filter((path) => footage.test(path))
    .sort();
  for (const path of paths) {
    files += 1;
    const file = join(folder, path);
    const mine = ours.get(path);
    const theirs = {
      ffprobe: await askFfprobe(ffprobe.path, file),
      mediabunny: await askMediabunny(file),
      ...(withMediainfo ? { mediainfo: await askMediainfo(file) } : {}),
    };
    for (const name of comparedFacts) {
      const said = Object.values(theirs).flatMap((answers) => answers?.[name] ?? []);
      const [first] = said;
      if (first === undefined || !said.every((value) => same(name, value, first, mine?.frameRate))) continue;
      const value = mine?.[name] ?? null;
      const agrees = same(name, value, first, mine?.frameRate);
      compared += 1;
      if (agrees) equal += 1;
      if (said.length > 1) {
        both += 1;
        if (agrees) bothEqual += 1;
      }
      if (agrees) continue;
      const why = explanations[`${path}: ${name}`];
      if (why === undefined) unexplained += 1;
      const readers = Object.entries(theirs).filter(([, answers]) => (answers?.[name] ?? null) !== null);
      const who = readers.map(([reader]) => reader).join(" and ");
      console.log(`${path}: ${name}: goodgate ${value}, ${who} ${first}: ${why ?? "NOT EXPLAINED"}`);
    }
  }
}
const readers = `ffprobe ${ffprobe.version}, mediabunny${withMediainfo ? ", mediainfo" : ""}`;
const percent = (part: number, whole: number): string => `${((100 * part) / Math.max(1, whole)).toFixed(2)} %`;
console.log(`${files} files with ${readers}: ${compared} comparisons, ${percent(equal, compared)} agree`);
console.log(
  `where two readers or more have an answer and agree: ${both} comparisons, ${percent(bothEqual, both)} agree`,
);
process.exitCode = bothEqual >= leastShare * both && unexplained === 0 ? 0 : 1;
