import { rate, seconds } from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";

export default defineRule({
  id: "sound-missing",
  title: "Sound track",
  cases: ["H10"],
  scope: "clip",
  needs: [],
  wants: ["sound", "frameRate"],
  decides: (brief) => brief.soundWanted,
  explanation: `Aircraft often record no sound by design; it is a fault only when the brief wants sound.`,
  limits: [{ name: "sound wanted", default: "no", unit: "", origin: "default", source: "the brief" }],
  remedyOnLocation: "Record wild sound on the ground.",
  remedyInEdit: "Library or wild sound.",
  sources: ["common practice, no source"],

  check(_facts, { wants, brief }) {
    if (wants.sound?.state === "read") return "passed";
    // A file that could not be read at all says nothing of its sound.
    if (wants.frameRate?.state !== "read") return undefined;
    if (wants.sound?.state !== "absent") {
      if (!brief.soundWanted) return undefined;
      return {
        unsure: "Whether there is sound could not be read.",
        missing: ["sound"],
        supply: "a listen to the clip",
      };
    }
    if (!brief.soundWanted) return "passed";
    return {
      grade: "workable",
      says: "No sound track, and the brief wants sound: use wild or library sound.",
      measured: amount(0, "tracks", "no sound track"),
      limit: limit(1, "tracks", "sound wanted", "brief"),
      remedy: "wild or library sound",
      onLocation: "record wild sound on the ground",
      inEdit: "library or wild sound",
    };
  },

  examples: [
    {
      title: "no sound, and sound is wanted",
      facts: { frameRate: rate(25) },
      brief: { soundWanted: true },
      expect: "workable",
    },
    { title: "no sound, and nobody asked", facts: { frameRate: rate(25) }, expect: "passed" },
    {
      title: "sound is there",
      facts: {
        frameRate: rate(25),
        sound: {
          codec: "aac",
          channels: 2,
          sampleRateHertz: 48_000,
          durationSeconds: seconds(10),
          startSeconds: seconds(0),
        },
      },
      brief: { soundWanted: true },
      expect: "passed",
    },
    {
      title: "a sound track that is broken, and sound is wanted",
      facts: { frameRate: rate(25) },
      damaged: { sound: "no sample rate" },
      brief: { soundWanted: true },
      expect: "unknown",
    },
    { title: "a file that was not read", facts: {}, brief: { soundWanted: true }, expect: "silent" },
  ],
});
