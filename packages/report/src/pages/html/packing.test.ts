import { createHash } from "node:crypto";
import { inflateRawSync } from "node:zlib";
import { expect, test } from "vitest";
import { packed, policyHash } from "./packing.ts";

test("outside check: Node's zlib unpacks what was packed, letter for letter", async () => {
  for (const text of ["", "é 空 🚁", "<article>".repeat(100_000)]) {
    expect(inflateRawSync(Buffer.from(await packed(text), "base64")).toString("utf8")).toBe(text);
  }
});

test("outside check: Node's own digest gives the same policy hash", async () => {
  const text = "body{color:red}/* é */";
  expect(await policyHash(text)).toBe(`sha256-${createHash("sha256").update(text, "utf8").digest("base64")}`);
});
