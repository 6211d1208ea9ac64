import type { CueBytes } from "./cue-bytes.ts";
import { type CueList, emptyCueList, pushCue } from "./cue-list.ts";
import { parseCueTime } from "./cue-time.ts";

/** Fields of an event line that precede the text, when no Format line says otherwise. */
const usualFields = ["layer", "start", "end", "style", "name", "marginl", "marginr", "marginv", "effect", "text"];

/** Cues of an ASS or SSA file: `Dialogue:` lines, cut at as many commas as the Format line names fields. */
export function assCues(text: CueBytes): CueList {
  const { bytes } = text;
  const cues = emptyCueList("ass", text);
  const first = firstDialogue(bytes);
  const fields = eventFields(text.text(0, first));
  const startField = fields.indexOf("start");
  const endField = fields.indexOf("end");
  const commas = new Int32Array(fields.length - 1);
  for (let line = first; line < bytes.length;) {
    const newLine = bytes.indexOf(10, line);
    const lineEnd = newLine < 0 ? bytes.length : newLine;
    if (isDialogue(bytes, line)) {
      const textFrom = line + dialogue.length;
      const from = findCommas(bytes, textFrom, lineEnd, commas);
      const start = from < 0 ? -1 : timeAt(bytes, textFrom, commas, startField);
      const end = start < 0 ? -1 : timeAt(bytes, textFrom, commas, endField);
      if (end >= 0) {
        if (!pushCue(cues, start, end, from, lineEnd)) return cues;
        cues.brokenHeading = false;
      } else cues.brokenHeading = newLine < 0;
    }
    line = lineEnd + 1;
  }
  return cues;
}

const dialogue = Buffer.from("Dialogue:");

function isDialogue(bytes: Uint8Array, line: number): boolean {
  if (bytes[line] !== dialogue[0] || line + dialogue.length > bytes.length) return false;
  for (let place = 1; place < dialogue.length; place += 1) if (bytes[line + place] !== dialogue[place]) return false;
  return true;
}

/** Start of the first event line, or the end; what stands before it says how event lines are built. */
function firstDialogue(bytes: Uint8Array): number {
  let line = 0;
  while (line < bytes.length && !isDialogue(bytes, line)) {
    const newLine = bytes.indexOf(10, line);
    line = newLine < 0 ? bytes.length : newLine + 1;
  }
  return line;
}

function eventFields(head: string): readonly string[] {
  const events = head.search(/^\[Events\]/im);
  const format = events < 0 ? null : /^Format:([^\r\n]{1,400})/im.exec(head.slice(events, events + 2000));
  const named = (format?.[1] ?? "").split(",").map((name) => name.trim().toLowerCase());
  const usable = named.includes("start") && named.includes("end") && named[named.length - 1] === "text";
  return usable ? named : usualFields;
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

function timeAt(bytes: Uint8Array, lineFrom: number, commas: Int32Array, field: number): number {
  let from = field === 0 ? lineFrom : (commas[field - 1] as number) + 1;
  let to = commas[field] as number;
  while (from < to && (bytes[from] as number) <= 32) from += 1;
  while (to > from && (bytes[to - 1] as number) <= 32) to -= 1;
  return parseCueTime(bytes, from, to);
}
