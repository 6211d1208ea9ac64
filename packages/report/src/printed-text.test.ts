import stringWidth from "string-width";
import { expect, test } from "vitest";
import { fitted, fittedEnd, padded, sentences, width, wrapped } from "./printed-text.ts";
import { hostileTexts } from "./sample-report.ts";
import { visible } from "./visible.ts";

test("controls and direction marks are shown, not obeyed", () => {
  expect(visible("a\u001B[2Jb\u202Ec\u0085d\u007Fe\tf")).toBe("a␛[2Jb<U+202E>c<U+0085>d␡e␉f");
  expect(visible("half \uD83D")).toBe("half \uFFFD");
  expect(visible("🚁")).toBe("🚁");
});

test.each(hostileTexts.map((text) => [text.slice(0, 20), text]))("no line is wider than asked for: %j", (_, text) => {
  for (const columns of [1, 2, 7, 20, 80]) {
    expect(width(fitted(text, columns))).toBeLessThanOrEqual(columns);
    expect(width(fittedEnd(text, columns))).toBeLessThanOrEqual(columns);
    for (const line of wrapped(text, Math.max(columns, 4), 2)) {
      expect(width(line)).toBeLessThanOrEqual(Math.max(columns, 4));
      expect(line).not.toMatch(/[\p{Cc}\p{Cf}]/u);
    }
  }
});

test("a cut text says so, at the end or at the start", () => {
  expect(fitted("abcdef", 4)).toBe("abc…");
  expect(fittedEnd("abcdef", 4)).toBe("…def");
  expect(fitted("abcd", 4)).toBe("abcd");
});

test("wide characters count two columns", () => {
  expect(width("空撮")).toBe(4);
  expect(padded("空", 4)).toBe("空  ");
  expect(fitted("空撮映", 4)).toBe("空…");
});

test("words are kept whole where they fit, and nothing is lost", () => {
  expect(wrapped("set the speed to 83.42 %", 10, 2)).toEqual(["set the", "  speed to", "  83.42 %"]);
  expect(wrapped("abcdefghij", 4, 0).join("")).toBe("abcdefghij");
  expect(wrapped("", 4)).toEqual([""]);
  expect(wrapped("one two three", 5, 0, 2)).toEqual(["one", "two…"]);
});

test("a text of a hundred thousand marks is short in bytes as well as in columns", () => {
  expect(fitted(`e${"\u0301".repeat(100_000)}`, 10).length).toBeLessThan(200);
});

test("texts put one after another read as sentences", () => {
  expect(sentences("not looked for", "switch it on", "")).toBe("not looked for. Switch it on");
  expect(sentences("Set 25 fps.", "Cut.")).toBe("Set 25 fps. Cut.");
});

test("text taken for plain is as wide as string-width says (outside check: the string-width package)", () => {
  for (let code = 0x20; code <= 0x2100; code += 1) {
    const character = String.fromCharCode(code);
    expect(width(character), `U+${code.toString(16)}`).toBe(stringWidth(character));
    expect(width(`a${character}b`), `U+${code.toString(16)}`).toBe(stringWidth(`a${character}b`));
  }
});
