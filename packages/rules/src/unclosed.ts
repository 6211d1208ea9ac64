import type { Reading } from "@goodgate/model";

/**
 * Whether a damaged structure without a frame rate means a recording that was never closed. Only of a container whose
 * index goodgate reads itself is it known; zeros from the first byte are data the card never wrote. Anything else (text,
 * a file the system cannot read, a foreign container) is not understood, which is another answer.
 */
export const isUnclosed = (
  structure: Reading<"whole">,
  container: { readonly state: "read"; readonly value: string } | { readonly state: "absent" | "damaged" } | undefined,
): boolean =>
  structure.state === "damaged" &&
  (container?.state === "read" ? container.value === "iso-bmff" : structure.cause === "never written");
