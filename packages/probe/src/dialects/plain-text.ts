import type { CueShape } from "../telemetry/cue-shape.ts";

/**
 * A cue without markup: tags `<…>` and `{\…}` taken out, `\N`, `\n`, returns and tabs turned into line breaks or spaces.
 * An opening bracket that is never closed stays as it is.
 */
export function plainText(cue: string): string {
  let text = cue;
  if (text.includes("<")) text = withoutSpans(text, "<", ">");
  if (text.includes("{\\")) text = withoutSpans(text, "{\\", "}");
  if (text.includes("\\")) text = text.replaceAll("\\N", "\n").replaceAll("\\n", "\n").replaceAll("\\h", " ");
  return text.includes("\r") || text.includes("\t") ? text.replaceAll("\r", "\n").replaceAll("\t", " ") : text;
}

function withoutSpans(text: string, opening: string, closing: string): string {
  let kept = "";
  let from = 0;
  for (let open = text.indexOf(opening); open >= 0; open = text.indexOf(opening, from)) {
    const close = text.indexOf(closing, open + opening.length);
    if (close < 0) break;
    kept += text.slice(from, open);
    from = close + closing.length;
  }
  return kept + text.slice(from);
}

/** Where each character of a cue's plain text stands in the cue itself. */
function plainPlaces(cue: string): readonly number[] {
  let text = cue;
  let places = Array.from({ length: cue.length }, (_, place) => place);
  const leaveOut = (from: number, to: number, put: string): void => {
    places = [...places.slice(0, from), ...(put === "" ? [] : [places[from] as number]), ...places.slice(to)];
    text = text.slice(0, from) + put + text.slice(to);
  };
  for (const [opening, closing] of [
    ["<", ">"],
    ["{\\", "}"],
  ] as const) {
    for (let open = text.indexOf(opening); open >= 0; open = text.indexOf(opening, open)) {
      const close = text.indexOf(closing, open + opening.length);
      if (close < 0) break;
      leaveOut(open, close + closing.length, "");
    }
  }
  for (let escape = text.search(/\\[Nnh]/); escape >= 0; escape = text.search(/\\[Nnh]/))
    leaveOut(escape, escape + 2, " ");
  return places;
}

/** A shape that is told places of the plain text and passes on those of the cue; a value torn apart by markup is irregular. */
export function shapeOfPlain(shape: CueShape, cue: string): CueShape {
  const places = plainPlaces(cue);
  const whole = (from: number, to: number, pass: (from: number, to: number) => void): void => {
    const first = places[from];
    const last = places[to - 1];
    if (first === undefined || last === undefined) return;
    if (last - first === to - 1 - from) pass(first, last + 1);
    else shape.irregular();
  };
  return {
    number: (from, to, ...more) => whole(from, to, (first, last) => shape.number(first, last, ...more)),
    value: (from, to, ...more) => whole(from, to, (first, last) => shape.value(first, last, ...more)),
    clock: (from, to) => whole(from, to, (first, last) => shape.clock(first, last)),
    nothing(from, to) {
      for (let first = from, at = from + 1; at <= to; at += 1) {
        if (at < to && (places[at] as number) === (places[at - 1] as number) + 1) continue;
        whole(first, at, (a, b) => shape.nothing(a, b));
        first = at;
      }
    },
    axes: (order) => shape.axes(order),
    irregular: () => shape.irregular(),
  };
}
