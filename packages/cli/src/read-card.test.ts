import { join } from "node:path";
import { clipText, rate } from "@goodgate/model";
import { expect, test } from "vitest";
import { demoCardFolder, samplesFolder } from "../../../fixtures/places.ts";
import { assembleReport } from "./assemble.ts";
import { madeIo } from "./made-io.ts";
import { readCard } from "./read-card.ts";

/** Everything a card gives, but for how long reading took. */
async function readAll(folder: string, plainClips: number | undefined) {
  const reading = await readCard([folder], plainClips === undefined ? {} : { plainClips }, madeIo());
  const report = await assembleReport(
    reading,
    { timelineRate: rate(25) },
    { began: 0, now: 0, positions: true, ...(plainClips === undefined ? {} : { many: true }) },
  );
  return {
    clips: Array.from(reading.clips, (clip) => clipText({ ...clip, cost: { ...clip.cost, milliseconds: 0 } })),
    skipped: reading.skipped,
    remarks: reading.card.remarks,
    // Other programs use the same disk.
    report: { ...report, card: { ...report.card, freeBytes: 0 } },
  };
}

test("clips that were packed give the same facts and the same report, joined and paired ones among them", async () => {
  for (const folder of [demoCardFolder, join(samplesFolder, "card-chapters"), join(samplesFolder, "card-dcf")]) {
    const plain = await readAll(folder, undefined);
    expect(plain.clips.length).toBeGreaterThan(0);
    expect(await readAll(folder, 0)).toEqual(plain);
  }
});
