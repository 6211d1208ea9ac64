import { rate, type Rate, toNumber } from "@goodgate/model";
import { bytesPerFrameOf, recordingKey } from "../figures.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { short } from "../words.ts";

const leastShare = 0.5;
/** With fewer clips alike there is no rest to compare with. */
const leastClips = 3;

export default defineRule({
  id: "bits-per-frame",
  title: "Bits for each frame",
  cases: ["F8"],
  scope: "clip",
  needs: [],
  wants: ["frameRate", "frames", "dataExtent", "codec", "width", "height"],
  asks: ["frames"],
  decides: false,
  explanation: `
The bit rate against the best of this camera on the card, in clips of one codec, raster and rate. Less than half of it is
worth a look at water and trees; a still sky also lowers it, so it is never more than a note.
`,
  limits: [
    {
      name: "against the camera's best on this card",
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
    if (size === undefined || rest === undefined || rest.clips < leastClips) return undefined;
    const share = size / rest.most;
    if (share >= leastShare) return "passed";
    const rate = wants.frameRate?.state === "read" ? toNumber(wants.frameRate.value) : 0;
    const perSecond = (bytes: number): number => Number(((bytes * 8 * rate) / 1e6).toFixed(3));
    const [here, best, least] = [perSecond(size), perSecond(rest.most), perSecond(rest.most * leastShare)];
    return {
      grade: "note",
      says: `${megabits(here)} against ${megabits(best)} in this camera's best clip alike (limit ${megabits(least)}); look at water and trees.`,
      measured: amount(here, "Mbit/s", megabits(here)),
      limit: limit(least, "Mbit/s", megabits(least), "house limit"),
      remedy: "look at water and trees",
      onLocation: "set the highest bit rate",
      inEdit: "look at water and trees",
    };
  },

  examples: [
    {
      title: "49 % of the best",
      facts: sized(490),
      others: [{ facts: sized(700) }, { facts: sized(1000) }],
      expect: "note",
    },
    {
      title: "50 % of the best",
      facts: sized(500),
      others: [{ facts: sized(1000) }, { facts: sized(1000) }],
      expect: "passed",
    },
    {
      title: "49 % of a clip at another rate",
      facts: sized(490),
      others: [{ facts: sized(600) }, { facts: sized(600) }, { facts: { ...sized(1000), frameRate: rate(24) } }],
      expect: "passed",
    },
    { title: "a single clip to compare with", facts: sized(100), others: [{ facts: sized(1000) }], expect: "silent" },
    { title: "frames not counted", facts: {}, expect: "unknown" },
  ],
});

const megabits = (value: number): string => `${short(value, value < 1 ? 3 : 1)} Mbit/s`;

function sized(bytesPerFrame: number): {
  frameRate: Rate;
  codec: string;
  width: number;
  height: number;
  frames: number;
  dataExtent: { firstByte: number; endByte: number };
} {
  return {
    frameRate: rate(25),
    codec: "h264",
    width: 1920,
    height: 1080,
    frames: 100,
    dataExtent: { firstByte: 0, endByte: 100 * bytesPerFrame },
  };
}
