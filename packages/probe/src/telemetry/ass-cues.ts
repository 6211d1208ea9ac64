import { type CueList, emptyCueList, mostCues } from "./cue-list.ts";
import { parseCueTime } from "./cue-time.ts";

/** Fields of an event line that precede the text, when no Format line says otherwise. */
const usualFields = ["layer", "start", "end", "style", "name", "marginl", "marginr", "marginv", "effect", "text"];

/** Cues of an ASS or SSA file: `Dialogue:` lines, cut at as many commas as the Format line names fields. */
export function assCues(text: string): CueList {
  const cues = emptyCueList("ass", text);
  const fields = eventFields(text);
  const startField = fields.indexOf("start");
  const endField = fields.indexOf("end");
  for (let line = 0; line < text.length;) {
    const newLine = text.indexOf("\n", line);
    const lineEnd = newLine < 0 ? text.length : newLine;
    if (text.startsWith("Dialogue:", line)) {
      const commas = commaPlaces(text, line + 9, lineEnd, fields.length - 1);
      if (commas.length === fields.length - 1) {
        const field = (place: number): number => {
          const from = place === 0 ? line + 9 : (commas[place - 1] ?? 0) + 1;
          return parseTrimmed(text, from, commas[place] ?? lineEnd);
        };
        const start = field(startField);
        const end = field(endField);
        if (start >= 0 && end >= 0) {
          if (cues.starts.length >= mostCues) {
            cues.overflow = true;
            return cues;
          }
          cues.starts.push(start);
          cues.ends.push(end);
          cues.from.push((commas[commas.length - 1] ?? lineEnd) + 1);
          cues.to.push(lineEnd);
          cues.brokenHeading = false;
        } else cues.brokenHeading = newLine < 0;
      } else cues.brokenHeading = newLine < 0;
    }
    line = lineEnd + 1;
  }
  return cues;
}

function eventFields(text: string): readonly string[] {
  const events = text.search(/^\[Events\]/im);
  const format = events < 0 ? null : /^Format:([^\r\n]{1,400})/im.exec(text.slice(events, events + 2000));
  const named = (format?.[1] ?? "").split(",").map((name) => name.trim().toLowerCase());
  const usable = named.includes("start") && named.includes("end") && named[named.length - 1] === "text";
  return usable ? named : usualFields;
}

function commaPlaces(text: string, from: number, to: number, most: number): readonly number[] {
  const places: number[] = [];
  for (let at = from; at < to && places.length < most; at += 1) if (text.charCodeAt(at) === 44) places.push(at);
  return places;
}

function parseTrimmed(text: string, from: number, to: number): number {
  let start = from;
  let end = to;
  while (start < end && text.charCodeAt(start) <= 32) start += 1;
  while (end > start && text.charCodeAt(end - 1) <= 32) end -= 1;
  return parseCueTime(text, start, end);
}
