import { equal, one, percentLabel, rate, ratio, seconds, toNumber } from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";
import { secondsText } from "../words.ts";

export default defineRule({
  id: "edit-list",
  title: "Edit list",
  cases: ["H5"],
  scope: "clip",
  needs: ["frameRate"],
  wants: ["editList", "mediaSeconds", "durationSeconds"],
  decides: false,
  explanation: `
An edit list inside the file may hide recorded frames, delay the picture, or change its speed. Programs that ignore it
show other frames and shift the sound. A list that hides a single frame is normal where frames are stored out of order.
`,
  limits: [
    {
      name: "hidden or delayed",
      default: 1,
      unit: "frame",
      origin: "house limit",
      source: "frames stored out of order shift the list by one",
    },
  ],
  remedyOnLocation: "Nothing.",
  remedyInEdit: "Check the sync in a program that ignores edit lists, or rewrap the file.",
  sources: ["ISO/IEC 14496-12, edit list box (from memory)"],

  check({ frameRate }, { wants, clip }) {
    if (wants.editList?.state !== "read" || wants.editList.value.length === 0) return undefined;
    const entries = wants.editList.value;
    const frame = 1 / toNumber(frameRate);
    const odd = entries.find((entry) => entry.mediaSeconds !== undefined && !equal(entry.speed, one));
    if (odd !== undefined) {
      return {
        grade: "workable",
        says: `The file's edit list plays part of it at ${percentLabel(odd.speed)} %: programs that ignore it show another speed; set 100 % by hand.`,
        measured: amount(percentLabel(odd.speed), "%", `${percentLabel(odd.speed)} %`),
        limit: limit("100", "%", "100 %", "computed"),
        remedy: "set the speed by hand",
        inEdit: "set the speed by hand, or rewrap without the edit list",
      };
    }
    const shown = entries.filter((entry) => entry.mediaSeconds !== undefined);
    const delay = entries
      .filter((entry) => entry.mediaSeconds === undefined)
      .reduce((sum, entry) => sum + toNumber(entry.durationSeconds), 0);
    // Of a recording in parts the list is that of the first part, the length that of all.
    const joined = clip.joints.length > 0;
    const media = !joined && wants.mediaSeconds?.state === "read" ? toNumber(wants.mediaSeconds.value) : undefined;
    const visible = shown.reduce((sum, entry) => sum + toNumber(entry.durationSeconds), 0);
    const hidden = media === undefined || visible === 0 ? 0 : media - visible;
    if (delay <= frame * 1.001 && hidden <= frame * 1.001) return "passed";
    const more = Math.max(delay, hidden);
    return {
      grade: "note",
      says:
        hidden >= delay
          ? `The file's edit list hides ${secondsText(hidden)} of the recording (limit one frame); programs that ignore it shift: check the sync.`
          : `The file's edit list delays the picture by ${secondsText(delay)} (limit one frame); programs that ignore it shift: check the sync.`,
      measured: amount(Number(more.toFixed(3)), "s", secondsText(more)),
      limit: limit(Number(frame.toFixed(4)), "s", "one frame", "house limit"),
      remedy: "check the sync",
      inEdit: "check the sync; rewrap without the edit list if a program ignores it",
    };
  },

  examples: [
    {
      title: "one of six seconds hidden",
      facts: {
        frameRate: rate(25),
        mediaSeconds: seconds(6),
        editList: [{ durationSeconds: seconds(5), mediaSeconds: seconds(1), speed: one }],
      },
      expect: "note",
    },
    {
      title: "two frames of start offset and nothing hidden",
      facts: {
        frameRate: rate(25),
        mediaSeconds: seconds(6),
        editList: [{ durationSeconds: seconds(6), mediaSeconds: seconds(2, 25), speed: one }],
      },
      expect: "passed",
    },
    {
      title: "half a second of delay",
      facts: {
        frameRate: rate(25),
        editList: [
          { durationSeconds: seconds(1, 2), speed: one },
          { durationSeconds: seconds(5), mediaSeconds: seconds(0), speed: one },
        ],
      },
      expect: "note",
    },
    {
      title: "an entry at half speed",
      facts: {
        frameRate: rate(25),
        editList: [{ durationSeconds: seconds(5), mediaSeconds: seconds(0), speed: ratio(1n, 2n) }],
      },
      expect: "workable",
    },
    { title: "no edit list", facts: { frameRate: rate(25) }, expect: "silent" },
    { title: "a clip whose frame rate was not read", facts: {}, expect: "unknown" },
  ],
});
