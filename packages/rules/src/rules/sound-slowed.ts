import { percentLabel, rate, seconds } from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";
import { short } from "../words.ts";
import { timesLonger } from "../uses.ts";

export default defineRule({
  id: "sound-slowed",
  title: "Sound of a slowed clip",
  cases: ["H10"],
  scope: "use",
  needs: ["frameRate"],
  wants: ["sound"],
  decides: false,
  hangsOn: ["timelineRate", "treatment"],
  explanation: `Slowed with its picture, sound runs as many times as long and drops in pitch; it has to be unlinked.`,
  limits: [{ name: "speed", default: 1, unit: "times", origin: "computed", source: "the plan" }],
  remedyOnLocation: "Record wild sound on the ground.",
  remedyInEdit: "Unlink the sound.",
  sources: ["computed"],
  applies: ({ use }) => use.use === "slow",

  check(_facts, { wants, use }) {
    if (wants.sound?.state !== "read") return undefined;
    const times = short(timesLonger(use.sceneSpeed));
    return {
      grade: "note",
      says: `At ${percentLabel(use.sceneSpeed)} % the sound runs ${times} times as long as in real time: unlink it.`,
      measured: amount(Number(times), "times", `${times} times as long`),
      limit: limit(1, "times", "real time", "computed"),
      remedy: "unlink the sound",
      onLocation: "record wild sound on the ground",
      inEdit: "unlink the sound; library or wild sound",
    };
  },

  examples: [
    {
      title: "slowed with sound",
      facts: {
        frameRate: rate(100),
        sound: {
          codec: "aac",
          channels: 2,
          sampleRateHertz: 48_000,
          durationSeconds: seconds(10),
          startSeconds: seconds(0),
        },
      },
      brief: { timelineRate: rate(25), treatment: "slow" },
      expect: "note",
    },
    {
      title: "real time with sound",
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
      brief: { timelineRate: rate(25) },
      expect: "silent",
    },
    {
      title: "slowed without sound",
      facts: { frameRate: rate(100) },
      brief: { timelineRate: rate(25), treatment: "slow" },
      expect: "silent",
    },
    { title: "a clip whose frame rate was not read", facts: {}, expect: "unknown" },
  ],
});
