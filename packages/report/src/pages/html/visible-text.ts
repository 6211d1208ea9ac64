/** Characters of one text on the page; a longer one is cut visibly. A sentence of ours has at most 140. */
export const mostCharacters = 600;

/**
 * Marks that would act instead of being read: control codes, lone surrogates, marks that turn the direction of text
 * (Unicode Bidirectional Algorithm, UAX #9: embeddings, overrides, isolates), characters without width, language tags.
 */
const acting =
  // oxlint-disable-next-line no-control-regex -- control codes are what is looked for
  /[\u0000-\u001f\u007f-\u009f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]|\p{Cs}|[\u{e0000}-\u{e007f}]/gu;

/** More marks than this on one letter would climb over the lines above. */
const stacked = /(\p{M}{4})\p{M}+/gu;

/**
 * A text as it may stand on a page: what would act is written out, what is too long is cut with the length it had.
 * Control codes become their pictures (␛), everything else its code point (⟨U+202E⟩).
 */
export function visibleText(text: string, most: number = mostCharacters): string {
  if (plain.test(text) && text.length <= most) return text;
  const cut = text.length > most ? `${whole(text.slice(0, most))} … [${text.length} characters]` : text;
  return cut
    .replace(acting, (found, at: number) => {
      if ((found === "\u200c" || found === "\u200d") && joinsScript(cut, at)) return found;
      const code = found.codePointAt(0) ?? 0;
      if (code < 0x20) return String.fromCodePoint(0x2400 + code);
      if (code === 0x7f) return "\u2421";
      return `\u27e8U+${code.toString(16).toUpperCase().padStart(4, "0")}\u27e9`;
    })
    .replace(stacked, "$1");
}

/** Without half a character at the end. */
const whole = (text: string): string => text.replace(/[\ud800-\udbff]$/, "");

/** Joiners without width belong into many scripts and into pictures of several signs; between ASCII they only hide. */
const joinsScript = (text: string, at: number): boolean =>
  (text.codePointAt(at - 1) ?? 0) > 0x2ff && (text.codePointAt(at + 1) ?? 0) > 0x2ff;

/** Texts that need nothing: printable ASCII and the common Latin letters and signs. */
const plain = /^[\x20-\x7e\u00a1-\u00ac\u00ae-\u024f\u2010-\u2027\u2030-\u205e\u2190-\u22ff]*$/;

/** A text for the inside of an HTML element or a double-quoted attribute. */
export const escaped = (value: unknown): string =>
  visibleText(value === undefined || value === null ? "\u2013" : String(value)).replace(
    /[&<>"']/g,
    (found) => entities[found] ?? "",
  );

const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};
