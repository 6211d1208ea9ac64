import { dirname } from "node:path";
import { makeDemoCard } from "../fixtures/demo-card/make.ts";
import { demoCardFolder, samplesFolder } from "../fixtures/places.ts";
import { makeSamples } from "../fixtures/samples/make.ts";

/** Makes the media that tests read, once; places.ts says where. Without changes it only compares keys. */
export default async function makeTestMedia(): Promise<void> {
  await makeDemoCard(dirname(demoCardFolder));
  await makeSamples(samplesFolder);
}
