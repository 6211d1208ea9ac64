import { expect, test } from "vitest";
import { isHdrTransfer, transferName } from "./colour-codes.ts";

test("PQ and HLG are the HDR transfers, and no other", () => {
  const all = Array.from({ length: 256 }, (_, code) => transferName(code) ?? "");
  expect(all.filter(isHdrTransfer)).toEqual(["smpte2084", "arib-std-b67"]);
});
