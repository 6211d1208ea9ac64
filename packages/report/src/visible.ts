/** What may not reach a terminal or a page as it is: controls, direction and format marks, line and paragraph ends. */
const unprintable = /[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]|\p{Variation_Selector}/gu;

/**
 * Text with everything a terminal would obey made visible: `␛` for escape, `<U+202E>` for a mark that turns text round,
 * `�` for half a character. Variation selectors are dropped, because programs disagree on their width.
 */
export function visible(text: string): string {
  return text.replace(unprintable, (found) => {
    const code = found.codePointAt(0) ?? 0;
    if (code < 0x20) return String.fromCodePoint(0x2400 + code);
    if (code === 0x7f) return "\u2421";
    if (code >= 0xd800 && code <= 0xdfff) return "\uFFFD";
    if (/\p{Variation_Selector}/u.test(found)) return "";
    return `<U+${code.toString(16).toUpperCase().padStart(4, "0")}>`;
  });
}
