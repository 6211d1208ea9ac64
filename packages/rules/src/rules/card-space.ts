import { amount, cannotTell, defineRule, limit, practice } from "../rule.ts";
import { shareText, sizeText } from "../words.ts";
import { sizeOf } from "../remarks.ts";

const leastShare = 0.05;

export default defineRule({
  id: "card-space",
  title: "Room on the card",
  cases: ["J13"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `Less than a twentieth of the card free, or less than its longest clip took: the next recording may be cut short.`,
  limits: [
    { name: "free", default: leastShare, unit: "share of used and free", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Change the card.",
  remedyInEdit: "Look at the last clip: it may be cut short.",
  sources: [practice],

  check(_facts, { card, clips }) {
    const free = card.freeBytes;
    if (free === undefined) {
      return cannotTell("Room on the card is not known.", ["freeBytes"], "the card itself, not a copy of it", true);
    }
    const share = free / Math.max(1, free + card.totalBytes);
    const longest = clips.reduce((most, clip) => Math.max(most, sizeOf(clip)), 0);
    if (share >= leastShare && free >= longest) return "passed";
    return {
      grade: "note",
      says: `${sizeText(free)} free, ${shareText(share)} (limit 5 % or ${sizeText(longest)}, the longest clip): change the card before the next flight.`,
      measured: amount(free, "bytes", `${sizeText(free)} free`),
      limit: limit(
        Math.max(longest, Math.round(leastShare * (free + card.totalBytes))),
        "bytes",
        `5 % or ${sizeText(longest)}`,
        "house limit",
      ),
      remedy: "change the card",
      onLocation: "change the card before the next flight",
      inEdit: "look at the last clip",
    };
  },

  examples: [
    { title: "4.9 % free", card: { totalBytes: 951_000, freeBytes: 49_000 }, expect: "note" },
    { title: "5 % free", card: { totalBytes: 950_000, freeBytes: 50_000 }, expect: "passed" },
    {
      title: "half free, but less than the longest clip",
      card: { totalBytes: 500, freeBytes: 500 },
      clip: { files: [{ path: "A.MP4", bytes: 501, modifiedMilliseconds: 0, role: "original" }] },
      expect: "note",
    },
    { title: "a copy on a disk that does not say", card: { totalBytes: 950 }, expect: "unknown" },
  ],
});
