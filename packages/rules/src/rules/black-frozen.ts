import { type FactValues, type Stretch, valueOf } from "@goodgate/model";
import { seen, stepsEvery } from "../example-facts.ts";
import { amount, defineRule, type Found, limit, noRemedyInEdit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { counted, secondsText, short } from "../words.ts";

/** Shorter stretches are cuts to black in the scene, or repeats. House limit. */
const leastSeconds = 1;
/** From this share of what was looked at on, nothing is left of the clip. House limit. */
const allShare = 0.9;

export default defineRule({
  id: "black-frozen",
  title: "Black or frozen picture",
  cases: ["M9"],
  scope: "clip",
  needs: [],
  wants: ["stillness", "lookedAt", "yawDegrees", "heightMetres"],
  asks: ["stillness"],
  decides: false,
  explanation: `
Stretches of black picture, and stretches in which nothing changes at all, not even the noise of the sensor. A frozen
picture while the heading or the height goes on changing is a fault of the recording. Something that covers a corner of
the lens is not sought. Asked with --measure only.
`,
  limits: [
    { name: "black or frozen for", default: leastSeconds, unit: "s", origin: "house limit", source: practice },
    {
      name: "nothing left from",
      default: allShare,
      unit: "share of what was looked at",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Look at the lens, its cover and the card, and record again.",
  remedyInEdit: "Cut the stretch out.",
  sources: [practice],
  applies: picturesAsked,

  check(_facts, { wants }) {
    const still = valueOf(wants.stillness);
    const at = valueOf(wants.lookedAt);
    if (still === undefined || at === undefined) return undefined;
    const looked = lookedText(wants.lookedAt);
    const black = still.black.filter((stretch) => lengthOf(stretch) > leastSeconds);
    const frozen = still.frozen.filter(
      (stretch) => lengthOf(stretch) > leastSeconds && !still.black.some((other) => overlap(stretch, other)),
    );
    const moves = [valueOf(wants.yawDegrees), valueOf(wants.heightMetres)].some((of) => (of?.values.length ?? 0) > 1);
    const found: Found[] = [];
    const tell = (word: "black" | "frozen", stretches: readonly Stretch[], why: string): void => {
      const [first] = stretches;
      if (first === undefined) return;
      const seconds = stretches.reduce((sum, stretch) => sum + lengthOf(stretch), 0);
      const all = seconds >= allShare * at.seconds;
      const places = stretches.length > 1 ? ` and ${counted(stretches.length - 1, "more place")}` : "";
      found.push({
        grade: all ? "workable" : "note",
        says: all
          ? `The whole picture is ${word}${why} (${short(seconds)} s, limit ${leastSeconds} s): look at the clip before it is used (${looked}).`
          : `The picture is ${word}${why} from ${secondsText(first.fromSeconds)} to ${secondsText(first.toSeconds)}${places} (${short(seconds)} s, limit ${leastSeconds} s); cut it out (${looked}).`,
        measured: amount(Number(seconds.toFixed(2)), "s", `${short(seconds)} s ${word}, ${looked}`),
        limit: limit(leastSeconds, "s", `${leastSeconds} s`, "house limit"),
        remedy: all ? "look at the clip" : "cut it out",
        onLocation: "look at the lens, its cover and the card; record again",
        inEdit: all ? noRemedyInEdit : "cut the stretch out",
        atSeconds: stretches.slice(0, 64).map((stretch) => stretch.fromSeconds),
      });
    };
    tell("black", black, "");
    tell("frozen", frozen, moves ? " though the aircraft moves" : "");
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    { title: "two seconds of black", facts: stillFor({ black: [[2, 4]] }), expect: "note" },
    { title: "black from end to end", facts: stillFor({ black: [[0, 20]], frozen: [[0, 20]] }), expect: "workable" },
    { title: "two seconds frozen", facts: stillFor({ frozen: [[2, 4]] }), expect: "note" },
    {
      title: "frozen from end to end while the heading changes",
      facts: { ...stillFor({ frozen: [[0, 20]] }), yawDegrees: stepsEvery(1, 0, 5, 10) },
      expect: "workable",
    },
    { title: "0.9 s of black", facts: stillFor({ black: [[2, 2.9]] }), expect: "passed" },
    {
      title: "nothing could be decoded",
      facts: {},
      absent: { lookedAt: "cannot tell: no picture", stillness: "cannot tell: no picture could be decoded" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: {}, expect: "silent" },
  ],
});

const lengthOf = (of: Stretch): number => of.toSeconds - of.fromSeconds;
const overlap = (a: Stretch, b: Stretch): boolean => a.fromSeconds < b.toSeconds && b.fromSeconds < a.toSeconds;

type Spans = readonly (readonly [number, number])[];

function stillFor({ black = [], frozen = [] }: { black?: Spans; frozen?: Spans }): Partial<FactValues> {
  const stretches = (spans: Spans) => spans.map(([fromSeconds, toSeconds]) => ({ fromSeconds, toSeconds }));
  return seen({ stillness: { black: stretches(black), frozen: stretches(frozen) } });
}
