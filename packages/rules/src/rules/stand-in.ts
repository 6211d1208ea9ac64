import { type Position, rate, seconds, treatmentOf, valueOf } from "@goodgate/model";
import type { CardFacts } from "../card-facts.ts";
import { startedAt } from "../example-facts.ts";
import { sceneGapMilliseconds } from "../figures.ts";
import { amount, cannotTell, type CardFound, defineRule, limit, practice, type SettledClip } from "../rule.ts";
import { scenesOf } from "../scenes.ts";
import { nameText, secondsText, short } from "../words.ts";

/** Starts further apart than this are another place of the same flight. House limit. */
const mostMetres = 150;
/** As far apart as clips of one scene. */
const mostMinutes = sceneGapMilliseconds / 60_000;
/** Metres of one degree of latitude: a quarter of the meridian is 10 000 km. */
const metresPerDegree = 111_111;

export default defineRule({
  id: "stand-in",
  title: "Clips that can stand in",
  cases: ["L7"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `
A clip that cannot be used may have a neighbour that can: the same camera within ten minutes, started within 150 metres
where both record a place, and usable in the treatment the lost one was meant for. Whether it shows the same is not known.
`,
  limits: [
    {
      name: "starts apart",
      default: mostMinutes,
      unit: "min",
      origin: "house limit",
      source: practice,
    },
    { name: "places apart", default: mostMetres, unit: "m", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Look at the clip named before flying again.",
  remedyInEdit: "Use the clip named in place of the lost one.",
  sources: [practice],

  check(_facts, { clips, usable, brief }) {
    const lost = clips.filter(({ clip }) => !usable.has(clip.name));
    if (lost.length === 0) return clips.length === 0 ? undefined : "passed";
    const found: CardFound[] = [];
    const scenes = new Map<string, readonly SettledClip[]>();
    for (const scene of scenesOf(clips)) scenes.set(scene[0]?.place.scene ?? "", scene);
    for (const one of lost) {
      const { treatment } = treatmentOf(brief, one.clip.name);
      const serves = (name: string): boolean => {
        const use = usable.get(name);
        return use !== undefined && (treatment === "either" || (treatment === "slow") === (use === "slow"));
      };
      const best = nearest(one, scenes.get(one.place.scene ?? "") ?? [], serves);
      if (best === undefined) continue;
      const where = best.metres === undefined ? "place not recorded" : `${Math.round(best.metres)} m away`;
      const apart = Math.abs(best.minutes);
      const lasts = apart < 1 ? secondsText(apart * 60) : `${short(apart)} min`;
      const when = `${lasts} ${best.minutes < 0 ? "before" : "after"} it`;
      found.push({
        grade: "note",
        says: `${nameText(best.name, 20)} may stand in for ${nameText(one.clip.name, 20)}: ${when}, ${where} (limits 10 min, ${mostMetres} m); look at it.`,
        measured: amount(Number(best.minutes.toFixed(2)), "min", `${when}, ${where}`),
        limit: limit(mostMetres, "m", `10 min and ${mostMetres} m`, "house limit"),
        remedy: "look at it: does it show the same?",
        onLocation: "look at it before flying again",
        inEdit: `use ${nameText(best.name, 24)} instead`,
        clips: [one.clip.name, best.name],
      });
    }
    if (found.length > 0) return found;
    return lost.some((one) => startOf(one) !== undefined)
      ? undefined
      : cannotTell(
          "Whether another clip can stand in for a lost one is not known: the lost one has no clock.",
          ["createdAt"],
          "a clip whose header states its start",
          true,
        );
  },

  examples: [
    { title: "a usable clip 149 m away, 9 minutes later", ...pair(149, 9), expect: "note" },
    { title: "a usable clip 151 m away", ...pair(151, 9), expect: "silent" },
    { title: "a usable clip 11 minutes later", ...pair(0, 11), expect: "silent" },
    { title: "nothing lost", ...pair(0, 1), brief: { timelineRate: rate(25) }, expect: "passed" },
    { title: "a lost clip without a clock", ...pair(0, 1, false), expect: "unknown" },
  ],
});

const startOf = ({ facts }: SettledClip): number | undefined => {
  const at = valueOf(facts.createdAt);
  return at === undefined || at.suspect !== undefined ? undefined : at.epochMilliseconds;
};

interface Near {
  readonly name: string;
  readonly minutes: number;
  readonly metres: number | undefined;
}

/** The clip of a scene, in order of time, that started nearest in time, near enough, and serves. */
function nearest(one: SettledClip, scene: readonly SettledClip[], serves: (name: string) => boolean): Near | undefined {
  const at = scene.indexOf(one);
  const look = (step: 1 | -1): Near | undefined => {
    for (let place = at + step; ; place += step) {
      const other = scene[place];
      const minutes = other === undefined ? undefined : startsApart(one, other);
      if (other === undefined || minutes === undefined || Math.abs(minutes) > mostMinutes) return undefined;
      if (!serves(other.clip.name)) continue;
      const metres = metresApart(one.facts, other.facts);
      if ((metres ?? 0) <= mostMetres) return { name: other.clip.name, minutes, metres };
    }
  };
  const [before, after] = [look(-1), look(1)];
  if (before === undefined || after === undefined) return before ?? after;
  return Math.abs(after.minutes) < Math.abs(before.minutes) ? after : before;
}

/** Minutes from the start of one clip to that of another; negative when the other was earlier. */
function startsApart(one: SettledClip, other: SettledClip): number | undefined {
  const [a, b] = [startOf(one), startOf(other)];
  return a === undefined || b === undefined ? undefined : (b - a) / 60_000;
}

const placeOf = (facts: CardFacts): Position | undefined => valueOf(facts.path)?.[0] ?? valueOf(facts.location);

/** Metres between the starts; the earth is flat over so little. */
function metresApart(one: CardFacts, other: CardFacts): number | undefined {
  const [a, b] = [placeOf(one), placeOf(other)];
  if (a === undefined || b === undefined) return undefined;
  const east = (b.longitudeDegrees - a.longitudeDegrees) * Math.cos((a.latitudeDegrees * Math.PI) / 180);
  return metresPerDegree * Math.hypot(b.latitudeDegrees - a.latitudeDegrees, east);
}

/** A clip planned slow at the timeline's own rate, which is lost, and another of 100 fps so far away and so much later. */
function pair(metres: number, minutes: number, clock = true) {
  const at = (minute: number) => startedAt(`2024-05-01T10:${String(minute).padStart(2, "0")}:00Z`);
  const place = (north: number): Position => ({
    latitudeDegrees: -38 + north / metresPerDegree,
    longitudeDegrees: -24,
  });
  const common = { durationSeconds: seconds(10) };
  return {
    facts: { ...common, frameRate: rate(25), location: place(0), ...(clock ? { createdAt: at(0) } : {}) },
    others: [{ facts: { ...common, frameRate: rate(100), location: place(metres), createdAt: at(minutes) } }],
    brief: { timelineRate: rate(25), treatment: "slow" as const },
  };
}
