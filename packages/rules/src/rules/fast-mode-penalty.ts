import { compare, multiply, rate, rateLabel, valueOf } from "@goodgate/model";
import { steps } from "../example-facts.ts";
import { bitsPerPixelOf, focalLengthOf } from "../figures.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { slowMotionFrom } from "../uses.ts";
import { listText, short } from "../words.ts";

const hdr = new Set(["smpte2084", "arib-std-b67"]);

/** Bits for each pixel of a frame against the ordinary clips. House limit. */
const leastBitsShare = 0.5;
/** A view narrower by more than this is a crop. House limit. */
const leastCrop = 0.03;

export default defineRule({
  id: "fast-mode-penalty",
  title: "What the fast mode drops",
  cases: ["B8"],
  scope: "clip",
  needs: ["frameRate"],
  wants: ["bitDepth", "transfer", "width", "height", "codec", "frames", "dataExtent", "focalLength35mm"],
  decides: false,
  hangsOn: ["timelineRate"],
  explanation: `
Fast modes often record fewer bits, no HDR, a smaller raster, fewer bits for each pixel, or a cropped view. Compared with
what most ordinary clips of the camera on this card have; bits for each pixel of a frame only within one codec.
`,
  limits: [
    {
      name: "ordinary clips",
      default: 1.5,
      unit: "times the timeline rate at most",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Use the fast mode only where slow motion is planned.",
  remedyInEdit: "Match the grade from the better clip; expect a change of crop at the cut.",
  sources: [practice],

  check(_facts, { wants, rates, figures, place, brief }) {
    if (rates === undefined || compare(rates.capture, multiply(slowMotionFrom, brief.timelineRate)) < 0)
      return undefined;
    const ordinary = figures.ordinary.get(place.camera);
    if (ordinary === undefined) return undefined;
    const [bits, transfer, width, height] = [
      valueOf(wants.bitDepth),
      valueOf(wants.transfer),
      valueOf(wants.width),
      valueOf(wants.height),
    ];
    const dropped: string[] = [];
    let grade: "note" | "workable" = "note";
    if (bits !== undefined && ordinary.bitDepth !== undefined && bits < ordinary.bitDepth) {
      dropped.push(`${bits} bits not ${ordinary.bitDepth}`);
      if (bits < 10 && ordinary.bitDepth >= 10) grade = "workable";
    }
    if (ordinary.transfer !== undefined && hdr.has(ordinary.transfer) && transfer !== undefined && !hdr.has(transfer)) {
      dropped.push("no HDR");
    }
    if (
      width !== undefined &&
      height !== undefined &&
      ordinary.width !== undefined &&
      ordinary.height !== undefined &&
      width * height < ordinary.width * ordinary.height
    ) {
      dropped.push(`${width}x${height} not ${ordinary.width}x${ordinary.height}`);
      if (brief.raster !== undefined && width < brief.raster.width && ordinary.width >= brief.raster.width)
        grade = "workable";
    }
    const [codec, spent] = [valueOf(wants.codec), bitsPerPixelOf(wants)];
    const usual = codec === undefined ? undefined : ordinary.bitsPerPixel.get(codec);
    if (spent !== undefined && usual !== undefined && spent < leastBitsShare * usual) {
      dropped.push(`${short(spent, 3)} bits/pixel not ${short(usual, 3)}`);
    }
    const [focal, wide] = [focalLengthOf(wants), ordinary.focalLength35mm];
    if (focal !== undefined && wide !== undefined && focal / wide > 1 + leastCrop) {
      dropped.push(`${short(focal)} mm not ${short(wide)} (cropped)`);
    }
    if (dropped.length === 0) return "passed";
    // The three first of the list fit a sentence; the data carries all.
    const list = listText(dropped, 3);
    return {
      grade,
      says: `At ${rateLabel(rates.capture)} fps less than in the ordinary clips: ${list}; use it slowed only.`,
      measured: amount(dropped.join(", "), "", list),
      limit: limit("as the ordinary clips", "", "as the ordinary clips", "house limit"),
      remedy: "use it slowed only",
      onLocation: "use the fast mode only where slow motion is planned",
      inEdit: "match the grade from the better clip; expect a change of crop at the cut",
    };
  },

  examples: [
    {
      title: "8 bits at 100 beside 10 bits at 25",
      facts: { frameRate: rate(100), bitDepth: 8 },
      others: [{ facts: { frameRate: rate(25), bitDepth: 10 } }],
      brief: { timelineRate: rate(25) },
      expect: "workable",
    },
    {
      title: "a smaller raster at 100 that still fills the edit",
      facts: { frameRate: rate(100), width: 1920, height: 1080 },
      others: [{ facts: { frameRate: rate(25), width: 3840, height: 2160 } }],
      brief: { timelineRate: rate(25), raster: { width: 1920, height: 1080 } },
      expect: "note",
    },
    { title: "49 % of the bits for each pixel", ...spending(49), expect: "note" },
    { title: "51 % of the bits for each pixel", ...spending(51), expect: "passed" },
    { title: "a view cropped by 4 %", ...viewed(25), expect: "note" },
    { title: "a view cropped by 2 %", ...viewed(24.5), expect: "passed" },
    {
      title: "10 bits at both",
      facts: { frameRate: rate(100), bitDepth: 10 },
      others: [{ facts: { frameRate: rate(25), bitDepth: 10 } }],
      brief: { timelineRate: rate(25) },
      expect: "passed",
    },
    {
      title: "an ordinary clip",
      facts: { frameRate: rate(25), bitDepth: 8 },
      brief: { timelineRate: rate(25) },
      expect: "silent",
    },
    { title: "a clip whose frame rate was not read", facts: {}, brief: { timelineRate: rate(25) }, expect: "unknown" },
  ],
});

/** A fast clip that spends so many bytes on a frame beside an ordinary one that spends 100. */
function spending(bytes: number) {
  const sized = (each: number) => ({
    codec: "h264",
    width: 160,
    height: 90,
    frames: 100,
    dataExtent: { firstByte: 0, endByte: 100 * each },
  });
  return {
    facts: { frameRate: rate(100), ...sized(bytes) },
    others: [{ facts: { frameRate: rate(25), ...sized(100) } }],
    brief: { timelineRate: rate(25) },
  };
}

/** A fast clip at a focal length beside an ordinary one at 24 mm. */
function viewed(focal: number) {
  return {
    facts: { frameRate: rate(100), focalLength35mm: steps(focal) },
    others: [{ facts: { frameRate: rate(25), focalLength35mm: steps(24) } }],
    brief: { timelineRate: rate(25) },
  };
}
