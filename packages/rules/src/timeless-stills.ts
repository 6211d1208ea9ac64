import type { Still } from "@goodgate/model";
import { cannotTell, type Unsure } from "./rule.ts";

/** Why stills cannot be asked about as sets: several of them, and none says when it was taken. */
export function timelessStills(stills: readonly Still[], what: string): Unsure | undefined {
  if (stills.length < 2 || stills.some(({ takenAt }) => takenAt.state === "read")) return undefined;
  return cannotTell(
    `Whether stills form ${what} is not known: none of ${stills.length} records when it was taken.`,
    ["takenAt"],
    "stills with their exposure data, as the camera wrote them",
    true,
  );
}
