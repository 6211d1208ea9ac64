import { type Clip, type FactName, type Facts, factsPicker, type PickedFacts } from "@goodgate/model";

/** Facts that tell which files of a card belong together. */
const names = [
  "bitDepth",
  "cameraModel",
  "codec",
  "container",
  "createdAt",
  "durationSeconds",
  "frameRate",
  "frames",
  "height",
  "profile",
  "sampleEntry",
  "serialNumber",
  "startSeconds",
  "telemetry",
  "timecode",
  "transfer",
  "width",
] as const satisfies readonly FactName[];

/** The facts of a clip that tell what it belongs with. */
export type HeadFacts = PickedFacts<Exclude<(typeof names)[number], "createdAt">> & Pick<Facts, "createdAt">;

/** What is held of every clip of a card while it is settled which files belong together; every clip is one. */
export interface ClipHead extends Pick<Clip, "name" | "files" | "joints" | "notFootage"> {
  readonly facts: HeadFacts;
  readonly proxyFacts?: HeadFacts;
  readonly cost: Pick<Clip["cost"], "failures">;
}

/** Makes heads of clips of one card, which share what is equal in them. */
export function headMaker(): (clip: Clip) => ClipHead {
  // A clock goes with where it was read; the picker leaves readings of objects as they are.
  const pick = factsPicker(names) as (facts: Facts) => HeadFacts;
  return ({ name, files, joints, notFootage, facts, proxyFacts, cost }) => ({
    name,
    files,
    joints,
    facts: pick(facts),
    cost: cost.failures === undefined ? noFailures : { failures: cost.failures },
    ...(notFootage === undefined ? {} : { notFootage }),
    ...(proxyFacts === undefined ? {} : { proxyFacts: pick(proxyFacts) }),
  });
}

const noFailures = {};
