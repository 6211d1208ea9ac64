import { type FactValues, type MeasuredSharpness, valueOf } from "@goodgate/model";
import { seen, startedAt } from "../example-facts.ts";
import { recordingKey } from "../figures.ts";
import { amount, cannotTell, defineRule, limit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { secondsText, shareText } from "../words.ts";

/** Fine detail, as an amplitude, against that of the scene: half is a note, a quarter needs a look. House limits. */
const noteShare = 0.5;
const workableShare = 0.25;
/** The clip itself and three others. House limit. */
const leastClips = 4;
/** A moment with a quarter of the clip's own fine detail. House limit. */
const momentShare = 0.25;

const shareOf = (decibels: number): number => 10 ** (decibels / 20);

export default defineRule({
  id: "focus-soft",
  title: "Sharpness against the scene",
  cases: ["M2"],
  scope: "clip",
  needs: [],
  wants: ["sharpness", "codec", "width", "height", "lookedAt"],
  asks: ["sharpness"],
  decides: false,
  explanation: `
Fine detail across the motion, against coarse detail of the same picture, compared with the other clips of the scene of
the same camera, codec and raster. Half as much is a note, a quarter needs work; a moment with a quarter of the clip's own
detail is a note. Fog, a plain sky and strong denoising look the same as a soft focus, so this asks for a look and is
never more than workable. Asked with --measure only.
`,
  limits: [
    {
      name: "worth a note up to",
      default: noteShare,
      unit: "of the scene's detail",
      origin: "house limit",
      source: practice,
    },
    {
      name: "needs work up to",
      default: workableShare,
      unit: "of the scene's detail",
      origin: "house limit",
      source: practice,
    },
    { name: "clips to compare", default: leastClips, unit: "clips", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Focus on a far edge and clean the lens.",
  remedyInEdit: "Mild sharpening helps little: look at it, and take a sharper clip of the scene.",
  sources: [practice],
  applies: picturesAsked,

  check(_facts, { wants, figures, place, pictures }) {
    const sharp = valueOf(wants.sharpness);
    if (sharp === undefined) return undefined;
    const looked = lookedText(wants.lookedAt);
    const key = recordingKey(place.camera, pictures ?? {});
    const others = figures.sharpness.get(`${place.scene}|${key}`);
    if (others !== undefined && others.clips >= leastClips) {
      const share = shareOf(sharp.detailDecibels - others.median);
      if (share < noteShare) {
        const work = share < workableShare;
        const bound = work ? workableShare : noteShare;
        return {
          grade: work ? "workable" : "note",
          says: `Softer than its scene: ${shareText(share)} of the fine detail (limit ${shareText(bound)}); look at it, refocus (${looked}).`,
          measured: amount(Number(share.toFixed(3)), "of the scene's detail", `${shareText(share)}, ${looked}`),
          limit: limit(bound, "of the scene's detail", shareText(bound), "house limit"),
          remedy: "look at it",
          onLocation: "focus on a far edge; clean the lens",
          inEdit: "take a sharper clip of the scene; sharpening helps little",
        };
      }
    }
    const { dropDecibels, atSeconds } = sharp.softest;
    const moment = shareOf(-dropDecibels);
    if (moment < momentShare) {
      return {
        grade: "note",
        says: `Soft at ${secondsText(atSeconds)}: ${shareText(moment)} of the clip's own fine detail (limit 25 %); look there, cut around it (${looked}).`,
        measured: amount(Number(moment.toFixed(3)), "of the clip's detail", `${shareText(moment)}, ${looked}`),
        limit: limit(momentShare, "of the clip's detail", shareText(momentShare), "house limit"),
        remedy: "look there",
        onLocation: "lock the focus on a far edge",
        inEdit: "cut around it",
        atSeconds: [atSeconds],
      };
    }
    if (others !== undefined && others.clips >= leastClips) return "passed";
    return cannotTell(
      "Sharpness not judged: it takes three other clips of the scene, of the same camera and mode, to compare with.",
      ["sharpness"],
      "more clips of the scene, or a look at the picture",
      true,
    );
  },

  examples: [
    { title: "13 dB below its scene", facts: clip(-33), others: scene(), expect: "workable" },
    { title: "7 dB below its scene", facts: clip(-27), others: scene(), expect: "note" },
    { title: "5 dB below its scene", facts: clip(-25), others: scene(), expect: "passed" },
    { title: "soft for a moment", facts: clip(-20, 13), others: scene(), expect: "note" },
    { title: "alone in its scene", facts: clip(-33), expect: "unknown" },
    {
      title: "too little texture",
      facts: seen({}),
      absent: { sharpness: "cannot tell: too few textured pictures were looked at" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: {}, expect: "silent" },
  ],
});

function clip(detailDecibels: number, dropDecibels = 2): Partial<FactValues> {
  const sharpness: MeasuredSharpness = { detailDecibels, softest: { atSeconds: 7, dropDecibels } };
  const mode = { codec: "h264", width: 3840, height: 2160 };
  return seen({ sharpness, ...mode, createdAt: startedAt("2024-05-14T10:00:00Z") });
}

function scene() {
  return [-20, -20.5, -19.5].map((decibels) => ({ facts: clip(decibels) }));
}
