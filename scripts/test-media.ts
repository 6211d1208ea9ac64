import { dirname } from "node:path";
import { makeDemoCard } from "../fixtures/demo-card/make.ts";
import { demoCardFolder } from "../fixtures/places.ts";

/** Makes the media that tests read, once; places.ts says where. Without changes it only compares a key. */
export default async function makeTestMedia(): Promise<void> {
  await makeDemoCard(dirname(demoCardFolder));
}
