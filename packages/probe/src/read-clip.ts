import { join } from "node:path";
import type { Clip, Facts, FoundClip, ReadCost } from "@goodgate/model";
import { absent, damaged, firstValue, ratioText, valueOf } from "@goodgate/model";
import type { ReadOptions } from "./contracts.ts";
import { combineFacts, type StillWitness } from "./precedence.ts";
import { clipTimes, type FootageReading } from "./footage.ts";
import { readFootage } from "./read-footage.ts";
import { doubtFuture } from "./sidecars/creation-time.ts";
import { readSidecars } from "./sidecars/read-sidecars.ts";
import type { XmpFacts } from "./sidecars/xmp.ts";

/**
 * Reads one recording: its own file, the tracks in it and the files beside it, and settles every fact by the order of
 * precedence.ts. Nothing in a file makes it throw: what cannot be read is a damaged structure with its reason. Only an
 * aborted signal does.
 */
export async function readClip(found: FoundClip, options: ReadOptions): Promise<Clip> {
  const { signal } = options;
  const original = found.files.find((file) => file.role === "original");
  if (original === undefined) {
    const origin = { kind: "file system", file: found.name, place: "file" } as const;
    return clipOf(found, { structure: damaged("there is no original file", origin) }, ["goodgate"], noCost);
  }
  const footage = await readFootage(join(found.root, original.path), original.path, options);
  if (footage.notFootage !== undefined) {
    return { ...clipOf(found, footage.facts, footage.readers, costOf(footage)), notFootage: footage.notFootage };
  }
  const times = clipTimes(footage.facts);
  const interlaced = valueOf(footage.facts.scan);
  const beside = await readSidecars(
    found,
    { ...times, interlaced: interlaced !== undefined && interlaced !== "progressive" },
    signal,
  );
  const packet =
    footage.xmp === undefined ? undefined : await containerXmp(footage.xmp, original.path, times.microseconds ?? 0);
  const facts = combineFacts({
    container: footage.facts,
    dataTracks: footage.dataTracks,
    textTracks: footage.textTracks,
    cueFiles: beside.cueFiles,
    clipXml: beside.clipXml,
    xmp: [...(packet === undefined ? [] : [packet]), ...beside.xmp],
    stills: beside.stills,
  });
  const proxy = found.files.find((file) => file.role === "proxy");
  const copy =
    proxy === undefined
      ? undefined
      : await readFootage(join(found.root, proxy.path), proxy.path, { ...options, secondReader: false });
  const cost = [costOf(footage), beside.cost, ...(copy === undefined ? [] : [copy.cost])].reduce(addCosts, noCost);
  return {
    ...clipOf(
      found,
      withSilence(withDoubt(facts, original.modifiedMilliseconds), found, beside.stills),
      footage.readers,
      {
        ...cost,
        neededBytes: footage.neededBytes + beside.cost.bytes,
      },
    ),
    ...(copy === undefined || copy.notFootage !== undefined ? {} : { proxyFacts: copy.facts }),
    // An empty list says that a second reader spoke and agreed.
    ...(options.secondReader !== true
      ? {}
      : footage.secondReaderSilent !== undefined
        ? { secondReaderSilent: footage.secondReaderSilent }
        : footage.readers.length > 1
          ? { disagreements: footage.disagreements }
          : {}),
  };
}

async function containerXmp(bytes: Uint8Array, path: string, microseconds: number): Promise<XmpFacts> {
  // Most cards hold no XML: its parser is loaded when the first is met.
  const { readXmp } = await import("./sidecars/xmp.ts");
  const facts = readXmp(bytes, path, "uuid XMP", microseconds, "container");
  if (!("fault" in facts)) return facts;
  return {
    createdAt: damaged(`the XMP packet is broken: ${facts.fault}`, {
      kind: "container",
      file: path,
      place: "uuid XMP",
    }),
  };
}

/** A start clock later than the last write of the file is doubted. */
function withDoubt(facts: Facts, modifiedMilliseconds: number): Facts {
  const { createdAt } = facts;
  if (createdAt?.state !== "read") return facts;
  return { ...facts, createdAt: { ...createdAt, value: doubtFuture(createdAt.value, modifiedMilliseconds) } };
}

/** Facts every clip is asked for; where no telemetry states them, the reason says what was looked at. */
const asked = ["telemetry", "shutterSeconds", "iso", "fNumber", "exposureBias", "whiteBalanceKelvin"] as const;

/** What a thumbnail states of a setting, in words; undefined when nothing. */
function thumbnailSays(name: (typeof asked)[number], still: StillWitness): string | undefined {
  const [time, iso, aperture] = [valueOf(still.shutterSeconds), valueOf(still.iso), valueOf(still.fNumber)];
  if (name === "shutterSeconds" && time !== undefined) return `${ratioText(firstValue(time))} s`;
  if (name === "iso" && iso !== undefined) return `ISO ${firstValue(iso)}`;
  return name === "fNumber" && aperture !== undefined ? `f/${firstValue(aperture)}` : undefined;
}

/** Says why the shot settings are absent, where they are. */
function withSilence(facts: Facts, found: FoundClip, stills: readonly StillWitness[]): Facts {
  if (facts.structure?.state === "damaged" && facts.container?.state !== "read") return facts;
  const tracks = (valueOf(facts.textTracks)?.length ?? 0) + (valueOf(facts.dataTracks)?.length ?? 0);
  const beside = found.files.some((file) => file.role === "telemetry");
  const why =
    facts.telemetry?.state === "read"
      ? "the telemetry does not state it"
      : beside
        ? "the subtitle file beside it holds no telemetry that is understood"
        : tracks > 0
          ? "its text and data tracks hold no telemetry that is understood"
          : "no telemetry track in the file and no subtitle file beside it";
  const silent = asked
    .filter((name) => facts[name] === undefined)
    .map((name) => {
      const said = stills.map((still) => thumbnailSays(name, still)).find((words) => words !== undefined);
      const more = said === undefined ? "" : `; the thumbnail's ${said} is of another exposure`;
      return [name, absent(`${why}${more}`)] as const;
    });
  return { ...facts, ...Object.fromEntries(silent) };
}

const noCost: ReadCost = { bytes: 0, calls: 0, milliseconds: 0 };

const costOf = (footage: FootageReading): ReadCost => ({ ...footage.cost, neededBytes: footage.neededBytes });

const addCosts = (a: ReadCost, b: ReadCost): ReadCost => ({
  bytes: a.bytes + b.bytes,
  calls: a.calls + b.calls,
  milliseconds: a.milliseconds + b.milliseconds,
  ...((a.failures ?? 0) + (b.failures ?? 0) === 0 ? {} : { failures: (a.failures ?? 0) + (b.failures ?? 0) }),
});

const clipOf = (found: FoundClip, facts: Facts, readers: readonly string[], cost: ReadCost): Clip => ({
  name: found.name,
  files: found.files,
  joints: found.joints,
  facts,
  readers,
  cost,
});
