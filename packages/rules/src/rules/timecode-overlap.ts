import { durationFrames } from "../scenes.ts";
import { rate, seconds, timecodeLabel, valueOf } from "@goodgate/model";
import { timecodeAt } from "../example-facts.ts";
import { amount, type CardFound, defineRule, limit } from "../rule.ts";
import { nameText } from "../words.ts";

export default defineRule({
  id: "timecode-overlap",
  title: "Timecode of its own",
  cases: ["J11"],
  scope: "card",
  needs: [],
  asks: ["timecode"],
  decides: false,
  explanation: `Two clips of one camera that share timecode cannot be told apart by it in the edit. Clips that start at zero are
timecode-absent's business.`,
  limits: [{ name: "shared", default: 0, unit: "frames", origin: "computed", source: "start and length of each clip" }],
  remedyOnLocation: "Let the timecode run free by the time of day.",
  remedyInEdit: "Give each clip a reel name of its own.",
  sources: ["computed"],

  check(_facts, { clips }) {
    const spans = clips.flatMap(({ clip, facts, place, rates }) => {
      const timecode = valueOf(facts.timecode);
      const frames = durationFrames(facts);
      if (timecode === undefined || frames === undefined || rates === undefined || timecode.startFrame === 0) return [];
      const { labelsPerSecond, dropFrame, startFrame } = timecode;
      // Days do not matter: free-running timecode repeats every day, and so does the day of the recording.
      const day = valueOf(facts.createdAt)?.text.slice(0, 10) ?? "";
      return [
        {
          name: clip.name,
          key: `${place.camera}|${labelsPerSecond}|${dropFrame}|${day}`,
          from: startFrame,
          to: startFrame + frames,
          labelsPerSecond,
          dropFrame,
        },
      ];
    });
    if (spans.length === 0) return undefined;
    spans.sort((a, b) => (a.key < b.key ? -1 : a.key > b.key ? 1 : a.from - b.from || (a.name < b.name ? -1 : 1)));
    const found: CardFound[] = [];
    let open = spans[0];
    for (const span of spans.slice(1)) {
      if (open !== undefined && open.key === span.key && span.from < open.to) {
        const shared = Math.min(open.to, span.to) - span.from;
        const label = timecodeLabel(span.from, span.labelsPerSecond, span.dropFrame);
        found.push({
          grade: "workable",
          says: `${nameText(open.name, 24)} and ${nameText(span.name, 24)} share timecode from ${label} (${shared} frames); give each a reel name.`,
          measured: amount(shared, "frames", `${shared} frames`),
          limit: limit(0, "frames", "no frame", "computed"),
          remedy: "give each a reel name",
          onLocation: "let the timecode run free by the time of day",
          inEdit: "give each clip a reel name of its own",
          clips: [open.name, span.name],
        });
      }
      if (open === undefined || open.key !== span.key || span.to > open.to) open = span;
    }
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    {
      title: "two clips a second apart, each two seconds long",
      facts: { frameRate: rate(25), frames: 50, durationSeconds: seconds(2), timecode: timecodeAt("10:00:00:00", 25) },
      others: [{ facts: { frameRate: rate(25), frames: 50, timecode: timecodeAt("10:00:01:00", 25) } }],
      expect: "workable",
    },
    {
      title: "the second starts where the first ends",
      facts: { frameRate: rate(25), frames: 50, timecode: timecodeAt("10:00:00:00", 25) },
      others: [{ facts: { frameRate: rate(25), frames: 50, timecode: timecodeAt("10:00:02:00", 25) } }],
      expect: "passed",
    },
    { title: "no timecode", facts: { frameRate: rate(25), frames: 50 }, expect: "unknown" },
  ],
});
