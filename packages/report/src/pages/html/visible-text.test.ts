import { assert, property, string } from "fast-check";
import { expect, test } from "vitest";
import { escaped, mostCharacters, visibleText } from "./visible-text.ts";

test("what would act is written out, what is only foreign stays", () => {
  expect(visibleText("\u001b[2J\u0007")).toBe("\u241b[2J\u2407");
  expect(visibleText("a\u202egnp.exe")).toBe("a\u27e8U+202E\u27e9gnp.exe");
  expect(visibleText("lone \ud800 and \udc00")).toBe("lone \u27e8U+D800\u27e9 and \u27e8U+DC00\u27e9");
  for (const kept of ["空撮_映像", "Überflug é", "👨‍👩‍👧‍👦", "می‌خواهم", "עברית"]) expect(visibleText(kept)).toBe(kept);
  expect(visibleText("pay\u200dload")).toBe("pay\u27e8U+200D\u27e9load");
});

test("a long text is cut with its length, never inside a character", () => {
  expect(visibleText("x".repeat(10_000))).toBe(`${"x".repeat(mostCharacters)} … [10000 characters]`);
  expect(visibleText("🚁".repeat(10), 5)).toBe("🚁🚁 … [20 characters]");
});

test("marks piled on one letter are thinned", () => {
  expect(visibleText(`e${"\u0301".repeat(50)}`)).toBe(`e${"\u0301".repeat(4)}`);
});

test("markup becomes text; nothing becomes a dash", () => {
  expect(escaped(`<b a="1" c='2'>&`)).toBe("&lt;b a=&quot;1&quot; c=&#39;2&#39;&gt;&amp;");
  expect(escaped(undefined)).toBe("\u2013");
  expect(escaped(0)).toBe("0");
});

test("no text whatever leaves a sign that acts or that ends an attribute or element", () => {
  assert(
    property(string({ unit: "binary", maxLength: 80 }), (text) => {
      const out = escaped(text);
      expect(out).not.toMatch(/[<>"']|\p{Cs}/u);
      // oxlint-disable-next-line no-control-regex -- control codes are what is looked for
      expect(out).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
    }),
  );
});
