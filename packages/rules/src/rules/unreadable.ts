import { rate } from "@goodgate/model";
import { cannotTell, defineRule } from "../rule.ts";
import { isUnclosed } from "../unclosed.ts";
import { fitted } from "../words.ts";

export default defineRule({
  id: "unreadable",
  title: "Format understood",
  cases: ["I7"],
  scope: "clip",
  needs: [],
  wants: ["container", "frameRate", "structure", "fileBytes"],
  decides: true,
  root: true,
  explanation: `A file nobody here can read is not judged, and says so: unknown is never a pass.`,
  limits: [
    {
      name: "format",
      default: "read by goodgate or ffprobe",
      unit: "",
      origin: "computed",
      source: "what is installed",
    },
  ],
  remedyOnLocation: "Look at the clip on the camera.",
  remedyInEdit: "Check that the editing program opens it.",
  sources: ["honesty rule: unknown is never a pass"],
  causedBy: ["unclosed-recording", "cut-short"],

  check(_facts, { wants }) {
    if (wants.frameRate?.state === "read") return "passed";
    if (wants.fileBytes?.state === "read" && wants.fileBytes.value === 0) return undefined;
    const { structure, container, frameRate } = wants;
    if (structure?.state === "damaged" && isUnclosed(structure, container)) return undefined;
    const why =
      structure?.state === "damaged"
        ? structure.why
        : container !== undefined && container.state !== "read"
          ? container.why
          : (frameRate?.why ?? "no reader for it");
    return cannotTell(
      fitted(`The clip could not be read: ${why}`),
      ["container", "frameRate"],
      structure?.state === "damaged" && structure.cause === "not given"
        ? "the card put back in its reader, or a copy of the file that opens"
        : "ffprobe on the PATH or in the settings, or a copy of the file that opens",
    );
  },

  examples: [
    { title: "a format nobody here reads", facts: { fileBytes: 5000 }, expect: "unknown" },
    { title: "a file that was read", facts: { container: "iso-bmff", frameRate: rate(25) }, expect: "passed" },
    { title: "an empty file is an unclosed recording", facts: { fileBytes: 0 }, expect: "silent" },
    {
      title: "a text file with the name of a clip",
      facts: { fileBytes: 5000 },
      damaged: { structure: "holds text, not pictures" },
      expect: "unknown",
    },
    {
      title: "a file the system cannot read",
      facts: {},
      damaged: { structure: { why: "cannot be read: input/output error", cause: "not given" } },
      expect: "unknown",
    },
    {
      title: "a file without an index is another rule's",
      facts: { container: "iso-bmff", fileBytes: 5000 },
      damaged: { structure: "no movie box" },
      expect: "silent",
    },
  ],
});
