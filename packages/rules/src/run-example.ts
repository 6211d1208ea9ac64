import {
  absent,
  type Brief,
  type Card,
  type Clip,
  completeBrief,
  damaged,
  type Facts,
  type Origin,
  read,
} from "@goodgate/model";
import { ask, type Outcome } from "./ask.ts";
import { cardFactsPicker } from "./card-facts.ts";
import { byText, cardFigures, placeClips } from "./figures.ts";
import { allowedUses, judgeClip } from "./judge.ts";
import type { Example, ExampleClip, Rule } from "./rule.ts";
import { settledFacts } from "./settle.ts";
import { clipRates } from "./uses.ts";

const origin: Origin = { kind: "container", file: "example", place: "example" };

/** The name of an example's clip when it gives none. */
export const exampleName = "100/A0001.MP4";

/** A clip made of an example; telemetry is taken to lie in a sidecar, everything else in the container. */
export function exampleClip(example: ExampleClip, name = exampleName): Clip {
  const facts: Record<string, unknown> = {};
  for (const key of ["sound", "timecode", "transfer"]) facts[key] = absent("not in the example");
  for (const [key, value] of Object.entries(example.facts ?? {})) {
    const of: Origin = key === "telemetry" ? { ...origin, kind: "per-frame record", file: "sidecar" } : origin;
    const witnesses = Object.entries(example.contradicted ?? {})
      .filter(([witness]) => witness === key)
      .map(([, other]) => ({ value: other, origin: { ...origin, place: "another place" }, agrees: false }));
    facts[key] = witnesses.length === 0 ? read(value, of) : { ...read(value, of), witnesses };
  }
  for (const [key, why] of Object.entries(example.absent ?? {}))
    facts[key] = typeof why === "string" ? absent(why) : { state: "absent", ...why };
  for (const [key, why] of Object.entries(example.damaged ?? {}))
    facts[key] = typeof why === "string" ? damaged(why, origin) : { state: "damaged", ...why, origin };
  return {
    name: example.name ?? name,
    files: [{ path: example.name ?? name, bytes: 1000, modifiedMilliseconds: 0, role: "original" }],
    joints: [],
    // Examples are typed by fact above; here they only change from values to readings.
    facts: facts as Facts,
    readers: ["goodgate"],
    cost: { bytes: 0, calls: 0, milliseconds: 0 },
    ...example.clip,
  };
}

/** An empty card, changed as an example says. */
export const exampleCard = (change: Partial<Card> = {}): Card => ({
  label: "example",
  layout: "plain folder",
  clips: [],
  stills: [],
  skipped: [],
  remarks: [],
  fileCount: 0,
  totalBytes: 0,
  ...change,
});

/** Everything an example asks: its clips, brief and what the rule answers. */
export function runExample(rule: Rule, example: Example): Outcome {
  const clip = exampleClip(example);
  const clips = [clip, ...(example.others ?? []).map((other, place) => exampleClip(other, `100/B000${place}.MP4`))];
  const brief: Brief = completeBrief(example.brief ?? {});
  const now = example.now ?? 4_102_444_800_000;
  const settled = clips
    .map((one) => {
      const facts = settledFacts(one);
      return { clip: one, facts, rates: clipRates(facts) };
    })
    .sort((a, b) => byText(a.clip.name, b.clip.name));
  const places = placeClips(settled);
  const figures = cardFigures(settled, places, brief);
  const facts = settledFacts(clip);
  const rates = clipRates(facts);
  const place = places.get(clip.name) ?? { camera: "" };
  if (rule.scope === "card") {
    const pick = cardFactsPicker();
    const usable = new Map<string, "real time" | "slow">();
    const placed = settled.map((one) => {
      const at = places.get(one.clip.name) ?? { camera: "" };
      const { plan } = judgeClip(one.clip, brief, { now, figures, place: at, facts: one.facts });
      if (plan.use !== "none") usable.set(one.clip.name, plan.use);
      return { clip: one.clip, facts: pick(one.facts), rates: one.rates, place: at };
    });
    const card = exampleCard(example.card);
    const { stills = [], sets = [] } = example;
    return ask(rule, {}, { brief, now, clips: placed, stills, sets, card, figures, usable });
  }
  const pictures = facts.lookedAt === undefined ? undefined : facts;
  const about = { clip, brief, now, rates, figures, place, pictures };
  if (rule.scope === "clip") return ask(rule, facts, about as never);
  const uses = allowedUses(clip.name, brief, facts, rates);
  const use = uses.find((one) => example.use === undefined || one.use === example.use);
  // Without a rate there is no use; the needs are asked for all the same.
  if (use === undefined) return ask({ ...rule, applies: () => true } as Rule, facts, about as never);
  return ask(rule, facts, { ...about, use, uses } as never);
}

/** The answer of an example in one word. */
export function answerOf(outcome: Outcome): Example["expect"] {
  if (outcome.unknowns.length > 0) return "unknown";
  for (const grade of ["reshoot", "workable", "note"] as const) {
    if (outcome.findings.some((finding) => finding.grade === grade)) return grade;
  }
  return outcome.passed ? "passed" : "silent";
}
