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
