import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { hashOfSources } from "../../../../scripts/kernel-text.ts";
import { cueKernel, mostBlock, mostSlots } from "./cue-kernel.ts";
import { kernelSourceHash } from "./cue-kernel-code.ts";

const folder = fileURLToPath(new URL("../../assembly", import.meta.url));

test("the compiled code is of the sources beside it", () => {
  expect(kernelSourceHash, "run tsx scripts/write-kernel.ts").toBe(hashOfSources(folder));
});

test("bounds that stand on both sides are the same", () => {
  expect(readFileSync(join(folder, "cue-kernel.ts"), "utf8")).toContain(`const mostSlots = ${mostSlots};`);
  expect(readFileSync(join(folder, "starts.ts"), "utf8")).toContain(`const mostBlock = ${mostBlock};`);
});

test("lists of the kernel lie apart, whatever is written into one", () => {
  const kernel = cueKernel();
  const lists = Object.entries(kernel).filter(([, list]) => ArrayBuffer.isView(list)) as [string, Uint8Array][];
  const spans = lists.map(([name, { byteOffset, byteLength }]) => ({
    name,
    from: byteOffset,
    to: byteOffset + byteLength,
  }));
  spans.sort((a, b) => a.from - b.from);
  spans.slice(1).forEach(({ name, from }, place) => {
    expect(from, `${name} behind ${spans[place]?.name}`).toBeGreaterThanOrEqual(spans[place]?.to ?? 0);
  });
});
