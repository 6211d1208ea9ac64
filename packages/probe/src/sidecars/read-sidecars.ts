import { join } from "node:path";
import {
  absent,
  constantSeries,
  damaged,
  type Facts,
  type FoundClip,
  type Origin,
  read,
  type Reading,
} from "@goodgate/model";
import { openCounted } from "../bytes.ts";
import { reasonOf } from "../card/walk.ts";
import type { TelemetryFacts } from "../contracts.ts";
import type { StillWitness } from "../precedence.ts";
import { readStill } from "../stills/read-still.ts";
import { mostCueFileBytes, readCueFile } from "../telemetry/cue-file.ts";
import type { ClipTimes } from "../telemetry/fold.ts";
import type { ClipXmlFacts } from "./clip-xml.ts";
import type { XmpFacts } from "./xmp.ts";

/** What the files beside a clip say. */
export interface SidecarReadings {
  readonly cueFiles: readonly TelemetryFacts[];
  readonly clipXml: readonly ClipXmlFacts[];
  readonly xmp: readonly XmpFacts[];
  readonly stills: readonly StillWitness[];
  readonly cost: Spent;
}

/** Reads every sidecar of a clip, each whole and within its bound. A broken one spoils only itself; only an abort throws. */
export async function readSidecars(
  found: FoundClip,
  clip: ClipTimes & { readonly interlaced: boolean },
  signal: AbortSignal,
): Promise<SidecarReadings> {
  const cueFiles: TelemetryFacts[] = [];
  const clipXml: ClipXmlFacts[] = [];
  const xmp: XmpFacts[] = [];
  const stills: StillWitness[] = [];
  const cost = { bytes: 0, calls: 0, milliseconds: 0, failures: 0 };
  for (const file of found.files) {
    signal.throwIfAborted();
    if (file.role === "thumbnail") {
      const { witness, cost: spent } = await thumbnailWitness(found, file.path, clip, signal);
      stills.push(witness);
      addCost(cost, spent);
      continue;
    }
    if (file.role !== "telemetry" && file.role !== "metadata") continue;
    const isCue = file.role === "telemetry";
    const xml = isCue ? undefined : await xmlReaders();
    const whole = await readWhole(join(found.root, file.path), xml?.mostXmlBytes ?? mostCueFileBytes);
    addCost(cost, whole.cost);
    if ("why" in whole) {
      const broken = damaged(`cannot be read: ${whole.why}`, fileOrigin(file.path));
      if (isCue) cueFiles.push({ telemetry: broken });
      else clipXml.push({ captureRate: broken, createdAt: broken });
    } else if (xml === undefined) cueFiles.push(cueFacts(whole.bytes, file.path, clip));
    else if (/\.xmp$/i.test(file.path)) {
      const facts = xml.readXmp(whole.bytes, file.path, "XMP", clip.microseconds ?? 0);
      xmp.push("fault" in facts ? { createdAt: broken(facts.fault, file.path) } : facts);
    } else {
      const facts = xml.readClipXml(whole.bytes, file.path, clip.interlaced);
      if ("fault" in facts) {
        clipXml.push({ captureRate: broken(facts.fault, file.path), createdAt: broken(facts.fault, file.path) });
      } else if (!("notClipXml" in facts)) clipXml.push(facts);
    }
  }
  return { cueFiles, clipXml, xmp, stills, cost };
}

/** What reads XML; many cards hold none, so it is loaded when the first is met. */
async function xmlReaders() {
  const [{ readClipXml }, { readXmp }, { mostXmlBytes }] = await Promise.all([
    import("./clip-xml.ts"),
    import("./xmp.ts"),
    import("./xml-tree.ts"),
  ]);
  return { readClipXml, readXmp, mostXmlBytes };
}

const fileOrigin = (path: string): Origin => ({ kind: "sidecar", file: path, place: "file" });
const broken = (why: string, path: string): Reading<never> =>
  damaged(`the sidecar is broken: ${why}`, fileOrigin(path));

function cueFacts(bytes: Uint8Array, path: string, clip: ClipTimes): TelemetryFacts {
  if (bytes.length === 0) return { telemetry: damaged("the subtitle file is empty", fileOrigin(path)) };
  const facts = readCueFile(bytes, path, clip);
  return "notTelemetry" in facts
    ? { telemetry: absent(`${path} holds no camera settings: ${facts.notTelemetry}`) }
    : facts;
}

interface Spent {
  readonly bytes: number;
  readonly calls: number;
  readonly milliseconds: number;
  readonly failures?: number;
}

/** A file as bytes; one byte more than the bound is read, so that the reader can tell and say that it is too long. */
async function readWhole(
  path: string,
  most: number,
): Promise<{ readonly bytes: Uint8Array; readonly cost: Spent } | { readonly why: string; readonly cost: Spent }> {
  const none = { bytes: 0, calls: 0, milliseconds: 0, failures: 1 };
  try {
    const file = await openCounted(path);
    try {
      return { bytes: await file.read(0, Math.min(file.size, most + 1)), cost: file.cost };
    } catch (error) {
      return { why: reasonOf(error), cost: file.cost };
    } finally {
      await file.close().catch(() => undefined);
    }
  } catch (error) {
    return { why: reasonOf(error), cost: none };
  }
}

async function thumbnailWitness(
  found: FoundClip,
  path: string,
  clip: ClipTimes,
  signal: AbortSignal,
): Promise<{ readonly witness: StillWitness; readonly cost: Spent }> {
  const files = found.files
    .filter((file) => file.path === path)
    .map((file) => ({ ...file, role: "original" as const }));
  const still = await readStill({ name: path, root: found.root, files }, signal);
  const over = <T>(reading: Reading<T>): Reading<ReturnType<typeof constantSeries<T>>> =>
    reading.state === "read" ? read(constantSeries(reading.value, clip.microseconds ?? 0), reading.origin) : reading;
  const witness: Facts = {
    shutterSeconds: over(still.shutterSeconds),
    iso: over(still.iso),
    fNumber: over(still.fNumber),
    location: still.location,
  };
  return { witness, cost: still.cost };
}

function addCost(sum: { bytes: number; calls: number; milliseconds: number; failures: number }, cost: Spent): void {
  sum.bytes += cost.bytes;
  sum.calls += cost.calls;
  sum.milliseconds += cost.milliseconds;
  sum.failures += cost.failures ?? 0;
}
