import { rate } from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";
import { isUnclosed } from "../unclosed.ts";
import { sizeText } from "../words.ts";

export default defineRule({
  id: "unclosed-recording",
  title: "Recording closed",
  cases: ["I1"],
  scope: "clip",
  needs: [],
  wants: ["structure", "frameRate", "fileBytes", "container"],
  decides: false,
  root: true,
  explanation: `
When power or card fail before a recording is closed, the index is never written: the pictures are there, and no program
finds them. A file of no length at all is the same fault. Recovery from a healthy clip of the same mode is possible and
not promised.
`,
  limits: [
    { name: "index", default: "present and whole", unit: "", origin: "computed", source: "the file's own structure" },
  ],
  remedyOnLocation:
    "Copy the card as it is and record nothing more on it; then some cameras repair the file when switched on with it.",
  remedyInEdit: "Rebuild the index with a healthy clip of the same mode; not promised.",
  sources: ["ISO/IEC 14496-12 (from memory)", "repair by the camera: from memory"],

  check(_facts, { wants }) {
    const bytes = wants.fileBytes?.state === "read" ? wants.fileBytes.value : undefined;
    const empty = bytes === 0;
    const broken =
      wants.structure?.state === "damaged" &&
      wants.frameRate?.state !== "read" &&
      isUnclosed(wants.structure, wants.container);
    if (!empty && !broken) return wants.structure?.state === "read" ? "passed" : undefined;
    const size = bytes === undefined ? "a file" : sizeText(bytes);
    return {
      grade: "reshoot",
      says: empty
        ? "0 bytes and no index: nothing was recorded or the card lost it; copy the card and record nothing more on it."
        : `Recording not closed (power or card loss): ${size} without a usable index; copy the card first, recovery is not promised.`,
      measured: amount(bytes ?? "unknown", "bytes", empty ? "0 bytes, no index" : `${size}, no usable index`),
      limit: limit("whole", "", "a whole index", "computed"),
      remedy: "copy the card, record nothing more on it",
      onLocation: "copy the card first and record nothing more on it; then fly the shot again",
      inEdit: "rebuild the index with a healthy clip of the same mode; not promised",
    };
  },

  examples: [
    {
      title: "picture data and no index",
      facts: { container: "iso-bmff", fileBytes: 5_000_000 },
      damaged: { structure: "no movie box" },
      expect: "reshoot",
    },
    {
      title: "zeros where the data should be",
      facts: { fileBytes: 5_000_000 },
      damaged: { structure: { why: "begins with zeros: the data was never written", cause: "never written" } },
      expect: "reshoot",
    },
    {
      title: "a file nobody may read",
      facts: { fileBytes: 5_000_000 },
      damaged: { structure: "cannot be read: input/output error" },
      expect: "silent",
    },
    { title: "an empty file", facts: { fileBytes: 0 }, expect: "reshoot" },
    {
      title: "a whole file",
      facts: { structure: "whole", fileBytes: 5_000_000, frameRate: rate(25) },
      expect: "passed",
    },
    {
      title: "an index and data cut short",
      facts: { fileBytes: 5_000_000, frameRate: rate(25) },
      damaged: { structure: "data ends early" },
      expect: "silent",
    },
    { title: "a format nobody here reads", facts: { fileBytes: 5_000_000 }, expect: "silent" },
  ],
});
