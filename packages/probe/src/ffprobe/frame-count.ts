import { absent, type Origin, type Ratio, read, type Read, type Reading, toNumber } from "@goodgate/model";
import type { ProbedStream } from "./answer.ts";
import type { Stretch } from "./facts.ts";

/** Makes the origin of a fact from its place in ffprobe's answer. */
export type Place = (place: string, kind?: Origin["kind"]) => Origin;

/**
 * Statistics tags go stale when another program changes the file. One that differs from what length and interval allow
 * by more than this share is not believed; single lost frames of a constant clip stay below. House limit.
 */
const mostTagShare = 0.02;

/**
 * The frame count of a picture stream. What a header states goes first: AVI counts repeated pictures, of which there is
 * no packet. Then the packets, when all were read. Then the statistics tag that Matroska writers leave per track
 * (NUMBER_OF_FRAMES of the Matroska tag registry), when length and interval bear it out.
 */
export function frameCount(
  picture: ProbedStream,
  stretch: Stretch | undefined,
  duration: Reading<Ratio>,
  at: Place,
): Reading<number> {
  const stream = `stream ${picture.index}`;
  const packets = stretch?.wholeFile === true ? read(stretch.frames, at(`${stream} packets`, "measured")) : undefined;
  const stated = wholeNumber(picture.nb_frames);
  if (stated !== undefined) return beside(read(stated, at(`${stream} nb_frames`)), packets);
  const tag = statisticsTag(picture);
  if (tag === undefined) return packets ?? absent(noCount(stretch));
  if (packets !== undefined) return beside(packets, read(tag.count, at(`${stream} tag ${tag.name}`)));
  const expected = expectedFrames(stretch, duration);
  if (expected !== undefined && Math.abs(tag.count - expected) > Math.max(2, expected * mostTagShare)) {
    return absent(
      `the tag ${tag.name} states ${tag.count} frames, and length and interval make ${Math.round(expected)}`,
    );
  }
  return read(tag.count, at(`${stream} tag ${tag.name}`));
}

const wholeNumber = (text: string | undefined): number | undefined =>
  text !== undefined && /^\d{1,15}$/.test(text.trim()) ? Number(text) : undefined;

/** The value with the other as a witness, where that says something else. */
function beside(value: Read<number>, other: Read<number> | undefined): Reading<number> {
  if (other === undefined || other.value === value.value) return value;
  return { ...value, witnesses: [{ value: other.value, origin: other.origin, agrees: false }] };
}

/** Writers add the language to the name: `NUMBER_OF_FRAMES-eng`. */
function statisticsTag(picture: ProbedStream): { readonly name: string; readonly count: number } | undefined {
  for (const [name, text] of Object.entries(picture.tags ?? {})) {
    const count = /^NUMBER_OF_FRAMES(?:-[a-z]{2,8})?$/i.test(name) ? wholeNumber(text) : undefined;
    if (count !== undefined && count > 0) return { name, count };
  }
  return undefined;
}

/** Frames that fill the clip at the interval of the stretch; undefined when intervals vary or the length is not known. */
function expectedFrames(stretch: Stretch | undefined, duration: Reading<Ratio>): number | undefined {
  const measured = stretch?.measured;
  if (measured === undefined || measured.timing.kind === "variable" || duration.state !== "read") return undefined;
  const intervals = (stretch?.frames ?? 0) - 1 + measured.timing.lostFrames;
  return (toNumber(duration.value) * intervals) / toNumber(measured.spanSeconds);
}

function noCount(stretch: Stretch | undefined): string {
  if (stretch?.measured === undefined || stretch.wholeFile) return "the container has no frame count";
  const seconds = toNumber(stretch.measured.spanSeconds).toFixed(1);
  return `the container has no frame count, and of the packets only a stretch of ${seconds} s was read`;
}
