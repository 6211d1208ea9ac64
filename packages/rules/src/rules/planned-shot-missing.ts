import { matchesPattern, rate } from "@goodgate/model";
import { amount, cannotTell, type CardFound, defineRule, limit, type SettledClip, type Unsure } from "../rule.ts";
import { isUnclosed } from "../unclosed.ts";
import { counted, shortened } from "../words.ts";

export default defineRule({
  id: "planned-shot-missing",
  title: "Planned shots",
  cases: ["L7"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `Each shot of the brief needs its number of clips that match by name, are better than reshoot, and serve the treatment asked.`,
  limits: [{ name: "clips for a shot", default: "the brief's count", unit: "", origin: "brief", source: "the brief" }],
  remedyOnLocation: "Fly the missing shot.",
  remedyInEdit: "Plan the scene without it.",
  sources: ["the brief"],

  check(_facts, { clips, brief, usable }) {
    if (brief.shots.length === 0) return undefined;
    const found: CardFound[] = [];
    let unsure: Unsure | undefined;
    for (const shot of brief.shots) {
      const matching = clips.filter(({ clip }) => matchesPattern(clip.name, shot.pattern));
      const good = matching.filter(({ clip }) => {
        const use = usable.get(clip.name);
        if (use === undefined) return false;
        return (
          shot.treatment === undefined ||
          shot.treatment === "either" ||
          (shot.treatment === "slow") === (use === "slow")
        );
      });
      if (good.length >= shot.count) continue;
      const unread = matching.filter(neverRead).length;
      if (good.length + unread >= shot.count) {
        unsure ??= cannotTell(
          `Shot "${shortened(shot.name, 40)}": ${good.length} of ${shot.count} usable, ${counted(unread, "clip")} could not be read: whether it is there is not known.`,
          ["frameRate"],
          "the clips in a form that can be read, or a look at them",
        );
        continue;
      }
      const treatment =
        shot.treatment === undefined || shot.treatment === "either"
          ? ""
          : shot.treatment === "slow"
            ? " in slow motion"
            : " in real time";
      found.push({
        grade: "reshoot",
        says: `Shot "${shortened(shot.name, 40)}"${treatment}: ${good.length} of ${shot.count} usable on this card; fly it, or plan the scene without it.`,
        measured: amount(good.length, "clips", `${good.length} usable`),
        limit: limit(shot.count, "clips", `${shot.count} asked`, "brief"),
        remedy: "fly the missing shot",
        onLocation: `fly "${shortened(shot.name, 40)}"${treatment}`,
        inEdit: "plan the scene without it",
        clips: matching.map(({ clip }) => clip.name),
      });
    }
    return found.length > 0 ? found : (unsure ?? "passed");
  },

  examples: [
    {
      title: "two orbits asked, one there",
      name: "orbit/A.MP4",
      facts: { frameRate: rate(25) },
      brief: { timelineRate: rate(25), shots: [{ name: "orbit", pattern: "orbit", count: 2 }] },
      expect: "reshoot",
    },
    {
      title: "one orbit asked, one there",
      name: "orbit/A.MP4",
      facts: { frameRate: rate(25) },
      brief: { timelineRate: rate(25), shots: [{ name: "orbit", pattern: "orbit", count: 1 }] },
      expect: "passed",
    },
    {
      title: "asked slow, there in real time",
      name: "orbit/A.MP4",
      facts: { frameRate: rate(25) },
      brief: { timelineRate: rate(25), shots: [{ name: "orbit", pattern: "orbit", count: 1, treatment: "slow" }] },
      expect: "reshoot",
    },
    {
      title: "one orbit asked, the clip of that name cannot be read",
      name: "orbit/A.MP4",
      facts: { fileBytes: 5000 },
      brief: { timelineRate: rate(25), shots: [{ name: "orbit", pattern: "orbit", count: 1 }] },
      expect: "unknown",
    },
    { title: "no shots in the brief", name: "orbit/A.MP4", facts: { frameRate: rate(25) }, expect: "silent" },
  ],
});

/** A clip nobody could read, and which is not known to be lost. */
const neverRead = ({ clip, facts }: SettledClip): boolean =>
  facts.frameRate?.state !== "read" &&
  clip.files.some(({ role, bytes }) => role === "original" && bytes > 0) &&
  !(facts.structure?.state === "damaged" && isUnclosed(facts.structure, facts.container));
