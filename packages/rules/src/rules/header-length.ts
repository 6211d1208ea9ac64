import { rate, seconds, toNumber } from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";
import { secondsText } from "../words.ts";

export default defineRule({
  id: "header-length",
  title: "Header against samples",
  cases: ["H7"],
  scope: "clip",
  needs: ["frameRate"],
  wants: ["headerSeconds", "durationSeconds", "sound"],
  asks: ["headerSeconds"],
  decides: false,
  explanation: `The header states a length; the samples add up to another. More than a frame apart is worth knowing, more than a
second makes programs show black or cut the end. A header as long as the sound is no fault.`,
  limits: [
    {
      name: "worth a note from",
      default: 1,
      unit: "frame",
      origin: "house limit",
      source: "common practice, no source",
    },
    { name: "needs work from", default: 1, unit: "s", origin: "house limit", source: "common practice, no source" },
  ],
  remedyOnLocation: "Nothing.",
  remedyInEdit: "Rewrap without encoding again.",
  sources: ["ISO/IEC 14496-12, movie header box (from memory)"],
  causedBy: ["cut-short", "unclosed-recording"],

  check({ frameRate }, { wants }) {
    if (wants.headerSeconds?.state !== "read" || wants.durationSeconds?.state !== "read") return undefined;
    const header = toNumber(wants.headerSeconds.value);
    const samples = toNumber(wants.durationSeconds.value);
    const sound =
      wants.sound?.state === "read"
        ? toNumber(wants.sound.value.durationSeconds) + Math.max(0, toNumber(wants.sound.value.startSeconds))
        : samples;
    const apart = Math.min(Math.abs(header - samples), Math.abs(header - Math.max(samples, sound)));
    // A millisecond beside the frame: header clocks often count thousandths.
    if (apart <= 1 / toNumber(frameRate) + 0.001) return "passed";
    return {
      grade: apart > 1 ? "workable" : "note",
      says: `The header says ${secondsText(header)}, the samples last ${secondsText(samples)}; rewrap the file if a program shows the wrong length.`,
      measured: amount(Number(header.toFixed(3)), "s", secondsText(header)),
      limit: limit(Number(samples.toFixed(3)), "s", secondsText(samples), "computed"),
      remedy: "rewrap without encoding again",
      inEdit: "rewrap without encoding again",
    };
  },

  examples: [
    {
      title: "a header two seconds too long",
      facts: { frameRate: rate(25), headerSeconds: seconds(12), durationSeconds: seconds(10) },
      expect: "workable",
    },
    {
      title: "a header two frames too long",
      facts: { frameRate: rate(25), headerSeconds: seconds(1008, 100), durationSeconds: seconds(10) },
      expect: "note",
    },
    {
      title: "a header one frame too long",
      facts: { frameRate: rate(25), headerSeconds: seconds(1004, 100), durationSeconds: seconds(10) },
      expect: "passed",
    },
    {
      title: "no length in the header",
      facts: { frameRate: rate(25), durationSeconds: seconds(10) },
      expect: "unknown",
    },
    { title: "a clip whose frame rate was not read", facts: {}, expect: "unknown" },
  ],
});
