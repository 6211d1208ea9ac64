import { rate, type Seconds, seconds, type Sound, toNumber } from "@goodgate/model";
import { amount, defineRule, type Found, limit } from "../rule.ts";
import { secondsText, short } from "../words.ts";

const earlySeconds = 0.045;
const lateSeconds = 0.125;
const noteFrames = 2;
const workableSeconds = 1;
const driftPartsPerMillion = 200;
const driftFromSeconds = 60;

export default defineRule({
  id: "sound-length",
  title: "Sound against picture",
  cases: ["H6"],
  scope: "clip",
  needs: ["frameRate"],
  wants: ["sound", "durationSeconds"],
  decides: false,
  explanation: `
Sound that starts more than 45 ms before or 125 ms after the picture is noticed. Ends that differ by more than two frames,
or a length that differs by more than 200 parts per million over a minute, mean drift. Workable only when the brief wants
the sound; rotor noise is no use for sync. Slow motion made in the camera is left out: its sound has another length.
`,
  limits: [
    {
      name: "sound early",
      default: earlySeconds * 1000,
      unit: "ms",
      origin: "standard",
      source: "ITU-R BT.1359-1, detectable",
    },
    {
      name: "sound late",
      default: lateSeconds * 1000,
      unit: "ms",
      origin: "standard",
      source: "ITU-R BT.1359-1, detectable",
    },
    {
      name: "ends apart",
      default: noteFrames,
      unit: "frames",
      origin: "house limit",
      source: "common practice, no source",
    },
    {
      name: "drift",
      default: driftPartsPerMillion,
      unit: "ppm over a minute",
      origin: "house limit",
      source: "common practice, no source",
    },
  ],
  remedyOnLocation: "Nothing.",
  remedyInEdit: "Slip the sound, or resample it.",
  sources: ["ITU-R BT.1359-1"],
  applies: ({ rates }) => rates === undefined || rates.capture === rates.plays,

  check({ frameRate }, { wants, brief }) {
    if (wants.sound?.state !== "read" || wants.durationSeconds?.state !== "read") return undefined;
    const start = toNumber(wants.sound.value.startSeconds);
    const length = toNumber(wants.sound.value.durationSeconds);
    const picture = toNumber(wants.durationSeconds.value);
    const apart = start + length - picture;
    const asked = brief.soundWanted ? "workable" : "note";
    const base = { remedy: "slip the sound", inEdit: "slip or resample the sound" };
    const found: Found[] = [];
    if (start < -earlySeconds - 1e-9 || start > lateSeconds + 1e-9) {
      const early = start < 0;
      const most = early ? earlySeconds : lateSeconds;
      found.push({
        ...base,
        grade: asked,
        says: `Sound starts ${short(Math.abs(start) * 1000, 0)} ms ${early ? "early" : "late"} (limit ${most * 1000} ms); slip it by as much.`,
        measured: amount(
          Number((start * 1000).toFixed(1)),
          "ms",
          `${short(Math.abs(start) * 1000, 0)} ms ${early ? "early" : "late"}`,
        ),
        limit: limit(most * 1000, "ms", `${most * 1000} ms`, "standard"),
      });
    }
    const drifts = picture >= driftFromSeconds && Math.abs(length / picture - 1) * 1e6 > driftPartsPerMillion;
    if (Math.abs(apart) > noteFrames / toNumber(frameRate) + 1e-9 || drifts) {
      const word = apart < 0 ? "before" : "after";
      found.push({
        ...base,
        grade: Math.abs(apart) > workableSeconds ? asked : "note",
        says: `Sound ends ${secondsText(Math.abs(apart))} ${word} the picture (limit ${noteFrames} frames)${drifts ? ", a drift" : ""}; ${drifts ? "resample" : "trim"} it.`,
        measured: amount(Number(apart.toFixed(3)), "s", `${secondsText(Math.abs(apart))} ${word} the picture`),
        limit: limit(noteFrames, "frames", `${noteFrames} frames`, "house limit"),
        remedy: `${drifts ? "resample" : "trim"} the sound`,
      });
    }
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    {
      title: "sound 46 ms early and wanted",
      facts: { frameRate: rate(25), durationSeconds: seconds(10), sound: soundOf(seconds(-46, 1000), seconds(10)) },
      brief: { soundWanted: true },
      expect: "workable",
    },
    {
      title: "sound 45 ms early",
      facts: { frameRate: rate(25), durationSeconds: seconds(10), sound: soundOf(seconds(-45, 1000), seconds(10)) },
      brief: { soundWanted: true },
      expect: "passed",
    },
    {
      title: "sound 200 ms late, nobody wants it",
      facts: { frameRate: rate(25), durationSeconds: seconds(10), sound: soundOf(seconds(1, 5), seconds(98, 10)) },
      expect: "note",
    },
    {
      title: "sound three frames shorter",
      facts: { frameRate: rate(25), durationSeconds: seconds(10), sound: soundOf(seconds(0), seconds(988, 100)) },
      expect: "note",
    },
    {
      title: "sound two seconds shorter and wanted",
      facts: { frameRate: rate(25), durationSeconds: seconds(10), sound: soundOf(seconds(0), seconds(8)) },
      brief: { soundWanted: true },
      expect: "workable",
    },
    {
      title: "sound of another length in slow motion made in the camera",
      facts: {
        frameRate: rate(25),
        captureRate: rate(100),
        durationSeconds: seconds(40),
        sound: soundOf(seconds(0), seconds(10)),
      },
      expect: "silent",
    },
    { title: "no sound", facts: { frameRate: rate(25), durationSeconds: seconds(10) }, expect: "silent" },
    { title: "a clip whose frame rate was not read", facts: {}, expect: "unknown" },
  ],
});

function soundOf(startSeconds: Seconds, durationSeconds: Seconds): Sound {
  return { codec: "aac", channels: 2, sampleRateHertz: 48_000, startSeconds, durationSeconds };
}
