import type { CueBytes } from "./cue-bytes.ts";
import { copyHeading, type CueHeading, type CueSplitter, noHeading } from "./cue-splitter.ts";
import { parseCueTime } from "./cue-time.ts";

/** Fields of an event line that precede the text, when no Format line says otherwise. */
const usualFields = ["layer", "start", "end", "style", "name", "marginl", "marginr", "marginv", "effect", "text"];

/**
 * Cuts an ASS or SSA file into cues: `Dialogue:` lines, cut at as many commas as the Format line names fields. Undefined
 * for a file without such lines.
 */
export function assCues(text: CueBytes): CueSplitter | undefined {
  const { bytes } = text;
  const open = noHeading();
  const next = noHeading();
  const first = firstDialogue(bytes);
  const fields = eventFields(text.text(0, first));
  const startField = fields.indexOf("start");
  const endField = fields.indexOf("end");
  const commas = new Int32Array(fields.length - 1);
  /** Whether the last event line that was met cannot be read and ends with the file. */
  let isBroken = false;
  /** Finds the next event line from the start of a line on. */
  const find = (from: number, heading: CueHeading): boolean => {
    isBroken = false;
    for (let line = from; line < bytes.length;) {
      if (isDialogue(bytes, line)) {
        const end = lineEnd(bytes, line);
        if (readHeading(bytes, line, end, commas, startField, endField, heading)) return true;
        isBroken = end === bytes.length;
        line = end + 1;
      } else line = lineEnd(bytes, line) + 1;
    }
    return false;
  };
  if (!find(first, open)) return undefined;
  return {
    ...text,
    format: "ass",
    open,
    next,
    bodyTo: 0,
    close() {
      this.bodyTo = lineEnd(bytes, open.bodyFrom);
      return find(this.bodyTo + 1, next);
    },
    advance: () => copyHeading(next, open),
    // `close` has met every line behind it.
    closeLast: () => isBroken,
  };
}

const dialogue = Buffer.from("Dialogue:");

function isDialogue(bytes: Uint8Array, line: number): boolean {
  if (bytes[line] !== dialogue[0] || line + dialogue.length > bytes.length) return false;
  for (let place = 1; place < dialogue.length; place += 1) if (bytes[line + place] !== dialogue[place]) return false;
  return true;
}

function lineEnd(bytes: Uint8Array, from: number): number {
  const newLine = bytes.indexOf(10, from);
  return newLine < 0 ? bytes.length : newLine;
}

/** Start of the first event line, or the end; what stands before it says how event lines are built. */
function firstDialogue(bytes: Uint8Array): number {
  let line = 0;
  while (line < bytes.length && !isDialogue(bytes, line)) line = lineEnd(bytes, line) + 1;
  return Math.min(line, bytes.length);
}

function eventFields(head: string): readonly string[] {
  const events = head.search(/^\[Events\]/im);
  const format = events < 0 ? null : /^Format:([^\r\n]{1,400})/im.exec(head.slice(events, events + 2000));
  const named = (format?.[1] ?? "").split(",").map((name) => name.trim().toLowerCase());
  const usable = named.includes("start") && named.includes("end") && named[named.length - 1] === "text";
  return usable ? named : usualFields;
}

function readHeading(
  bytes: Uint8Array,
  line: number,
  end: number,
  commas: Int32Array,
  startField: number,
  endField: number,
  heading: CueHeading,
): boolean {
  const textFrom = line + dialogue.length;
  const bodyFrom = findCommas(bytes, textFrom, end, commas);
  if (bodyFrom < 0) return false;
  const { times } = heading;
  heading.lineFrom = line;
  heading.bodyFrom = bodyFrom;
  heading.startFrom = fieldFrom(bytes, textFrom, commas, startField);
  heading.startTo = fieldTo(bytes, heading.startFrom, commas, startField);
  heading.endFrom = fieldFrom(bytes, textFrom, commas, endField);
  heading.endTo = fieldTo(bytes, heading.endFrom, commas, endField);
  times[0] = parseCueTime(bytes, heading.startFrom, heading.startTo);
  times[1] = parseCueTime(bytes, heading.endFrom, heading.endTo);
  return (times[0] as number) >= 0 && (times[1] as number) >= 0;
}

/** Fills in the places of the commas that part the fields; gives the place after the last, or -1 with too few. */
function findCommas(bytes: Uint8Array, from: number, to: number, commas: Int32Array): number {
  let found = 0;
  let at = from;
  for (; at < to && found < commas.length; at += 1) {
    if (bytes[at] !== 44) continue;
    commas[found] = at;
    found += 1;
  }
  return found === commas.length ? at : -1;
}

/** Where the text of a field begins and ends, blanks left off. */
function fieldFrom(bytes: Uint8Array, lineFrom: number, commas: Int32Array, field: number): number {
  const to = commas[field] as number;
  let from = field === 0 ? lineFrom : (commas[field - 1] as number) + 1;
  while (from < to && (bytes[from] as number) <= 32) from += 1;
  return from;
}

function fieldTo(bytes: Uint8Array, from: number, commas: Int32Array, field: number): number {
  let to = commas[field] as number;
  while (to > from && (bytes[to - 1] as number) <= 32) to -= 1;
  return to;
}
