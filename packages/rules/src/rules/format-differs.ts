import { startedAt } from "../example-facts.ts";
import { valueOf } from "@goodgate/model";
import { amount, type CardFound, defineRule, limit } from "../rule.ts";
import { pushTo } from "../figures.ts";
import { scenesOf } from "../scenes.ts";
import { fitted, listText, shortened } from "../words.ts";

export default defineRule({
  id: "format-differs",
  title: "Format from clip to clip",
  cases: ["L6"],
  scope: "card",
  needs: [],
  asks: ["createdAt"],
  decides: false,
  explanation: `Raster, bit depth, codec or scan that change within a scene; the grades are with the rules about each of them.`,
  limits: [
    {
      name: "formats within a scene",
      default: 1,
      unit: "",
      origin: "house limit",
      source: "common practice, no source",
    },
  ],
  remedyOnLocation: "One mode for a scene.",
  remedyInEdit: "Expect a change of detail and crop at the cut.",
  sources: ["common practice, no source"],

  check(_facts, { clips }) {
    const found: CardFound[] = [];
    let asked = false;
    for (const scene of scenesOf(clips)) {
      const formats = new Map<string, string[]>();
      for (const { clip, facts } of scene) {
        const [width, height, bits, codec, scan] = [
          valueOf(facts.width),
          valueOf(facts.height),
          valueOf(facts.bitDepth),
          valueOf(facts.codec),
          valueOf(facts.scan),
        ];
        if (width === undefined || height === undefined) continue;
        const words = [
          `${width}x${height}`,
          codec,
          bits === undefined ? undefined : `${bits} bits`,
          scan === "progressive" ? undefined : scan,
        ];
        const format = words.filter((word) => word !== undefined).join(" ");
        pushTo(formats, format, clip.name);
      }
      if (formats.size > 0) asked = true;
      if (formats.size < 2) continue;
      const list = listText(
        [...formats.keys()].sort().map((format) => `${shortened(format, 28)} (${formats.get(format)?.length ?? 0})`),
        2,
      );
      found.push({
        grade: "note",
        says: fitted(`One scene in ${formats.size} formats: ${list}; expect a change of detail at the cut.`),
        measured: amount(formats.size, "formats", list),
        limit: limit(1, "formats", "one format", "house limit"),
        remedy: "one mode for a scene",
        onLocation: "one mode for a scene",
        inEdit: "expect a change of detail and crop at the cut",
        clips: [...formats.values()].flat().sort(),
      });
    }
    return found.length === 0 ? (asked ? "passed" : undefined) : found;
  },

  examples: [
    {
      title: "two rasters",
      facts: { width: 3840, height: 2160, createdAt: startedAt("2024-05-01T10:00:00Z") },
      others: [{ facts: { width: 1920, height: 1080, createdAt: startedAt("2024-05-01T10:05:00Z") } }],
      expect: "note",
    },
    {
      title: "one format",
      facts: { width: 3840, height: 2160, createdAt: startedAt("2024-05-01T10:00:00Z") },
      others: [{ facts: { width: 3840, height: 2160, createdAt: startedAt("2024-05-01T10:05:00Z") } }],
      expect: "passed",
    },
    { title: "not read", facts: {}, expect: "unknown" },
  ],
});
