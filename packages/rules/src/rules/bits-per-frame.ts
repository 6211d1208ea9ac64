import { bytesPerFrameOf, recordingKey } from "../figures.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { shareText, sizeText } from "../words.ts";

const leastShare = 0.5;
/** With fewer clips alike there is no rest to compare with. */
const leastClips = 3;

export default defineRule({
  id: "bits-per-frame",
  title: "Bits for each frame",
  cases: ["F8"],
  scope: "clip",
  needs: [],
  wants: ["frames", "dataExtent", "codec", "width", "height"],
  asks: ["frames"],
  decides: false,
  explanation: `
Clips of one camera, codec and raster should spend about as much on a frame. Less than half of the rest is worth a look at
water and trees; a still sky also lowers it, so it is never more than a note.
`,
  limits: [
    {
      name: "against the median of the rest",
      default: leastShare,
      unit: "share",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Set the highest bit rate.",
  remedyInEdit: "Look at water and trees.",
  sources: [practice],

  check(_facts, { wants, figures, place }) {
    const key = recordingKey(place.camera, wants);
    const size = bytesPerFrameOf(wants);
    const rest = key === undefined ? undefined : figures.bytesPerFrame.get(key);
    if (size === undefined || rest === undefined || rest.clips < leastClips || rest.median <= 0) return undefined;
    const share = size / rest.median;
    if (share >= leastShare) return "passed";
    return {
      grade: "note",
      says: `${sizeText(Math.round(size))} a frame against ${sizeText(Math.round(rest.median))} in clips alike (${shareText(share)}, limit 50 %); look at water and trees.`,
      measured: amount(Math.round(size), "bytes a frame", `${sizeText(Math.round(size))} a frame`),
      limit: limit(
        Math.round(rest.median * leastShare),
        "bytes a frame",
        `${sizeText(Math.round(rest.median * leastShare))} a frame`,
        "house limit",
      ),
      remedy: "look at water and trees",
      onLocation: "set the highest bit rate",
      inEdit: "look at water and trees",
    };
  },

  examples: [
    {
      title: "49 % of the rest",
      facts: sized(490),
      others: [{ facts: sized(1000) }, { facts: sized(1000) }],
      expect: "note",
    },
    {
      title: "50 % of the rest",
      facts: sized(500),
      others: [{ facts: sized(1000) }, { facts: sized(1000) }],
      expect: "passed",
    },
    { title: "a single clip to compare with", facts: sized(100), others: [{ facts: sized(1000) }], expect: "silent" },
    { title: "frames not counted", facts: {}, expect: "unknown" },
  ],
});

function sized(bytesPerFrame: number): {
  codec: string;
  width: number;
  height: number;
  frames: number;
  dataExtent: { firstByte: number; endByte: number };
} {
  return {
    codec: "h264",
    width: 1920,
    height: 1080,
    frames: 100,
    dataExtent: { firstByte: 0, endByte: 100 * bytesPerFrame },
  };
}
