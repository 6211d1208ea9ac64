import { exampleStill } from "../example-stills.ts";
import { amount, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { unseenPlaces } from "../remarks.ts";
import { counted, listText, nameText } from "../words.ts";

const raw = /\.(?:dng|raw|arw|cr2|cr3|nef|orf|raf|rw2|gpr)$/i;
const rendered = /\.(?:jpe?g|heic|heif|png|tiff?)$/i;

export default defineRule({
  id: "raw-pair",
  title: "Raw and rendered together",
  cases: ["K2"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `When at least half of the stills come as raw and rendered, one that lacks its mate may have been deleted or lost.`,
  limits: [
    { name: "pairs expected from", default: 0.5, unit: "share of stills", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Nothing.",
  remedyInEdit: "Render the raw, or do without.",
  sources: [practice],

  check(_facts, { stills, card }) {
    const paired = stills.map((still) => ({
      name: still.name,
      raw: still.files.some((file) => raw.test(file.path)),
      rendered: still.files.some((file) => rendered.test(file.path)),
    }));
    const both = paired.filter((still) => still.raw && still.rendered).length;
    if (both === 0 || both * 2 < paired.length) return undefined;
    const found: CardFound[] = [];
    for (const [what, alone] of [
      ["raw", paired.filter((still) => still.raw && !still.rendered)],
      ["rendered", paired.filter((still) => !still.raw && still.rendered)],
    ] as const) {
      if (alone.length === 0) continue;
      found.push({
        grade: "note",
        says: `${counted(alone.length, "still")} ${what} only (${listText(
          alone.slice(0, 2).map(({ name }) => nameText(name, 20)),
          2,
        )}) while ${both} have both; look for the rest.`,
        measured: amount(alone.length, "stills", `${alone.length} ${what} only`),
        limit: limit(0, "stills", "both of each", "house limit"),
        remedy: "look for the rest",
        inEdit: "render the raw, or do without",
        stills: alone.map(({ name }) => name),
      });
    }
    return found.length === 0 ? (unseenPlaces(card, "whether raw and rendered lie together") ?? "passed") : found;
  },

  examples: [
    {
      title: "two pairs and a raw alone",
      stills: [
        exampleStill("A", { files: ["A.DNG", "A.JPG"] }),
        exampleStill("B", { files: ["B.DNG", "B.JPG"] }),
        exampleStill("C", { files: ["C.DNG"] }),
      ],
      expect: "note",
    },
    {
      title: "pairs, and a folder nobody could list",
      stills: [exampleStill("A", { files: ["A.DNG", "A.JPG"] })],
      card: { skipped: [{ path: "DCIM/101", why: "folder cannot be listed", unread: true }] },
      expect: "unknown",
    },
    { title: "pairs only", stills: [exampleStill("A", { files: ["A.DNG", "A.JPG"] })], expect: "passed" },
    {
      title: "one pair in three",
      stills: [
        exampleStill("A", { files: ["A.DNG", "A.JPG"] }),
        exampleStill("B", { files: ["B.DNG"] }),
        exampleStill("C", { files: ["C.DNG"] }),
      ],
      expect: "silent",
    },
  ],
});
