import { multiply, round, valueOf } from "@goodgate/model";
import { byText } from "./figures.ts";
import type { CardFacts } from "./card-facts.ts";
import type { SettledClip } from "./rule.ts";

// Several rules ask for the scenes of one card.
const known = new WeakMap<readonly SettledClip[], readonly (readonly SettledClip[])[]>();

/** The clips of each scene, in order of time; clips without a clock belong to none. */
export function scenesOf(clips: readonly SettledClip[]): readonly (readonly SettledClip[])[] {
  let scenes = known.get(clips);
  if (scenes === undefined) known.set(clips, (scenes = byScene(clips)));
  return scenes;
}

function byScene(clips: readonly SettledClip[]): readonly (readonly SettledClip[])[] {
  const scenes = new Map<string, SettledClip[]>();
  for (const clip of clips) {
    const { scene } = clip.place;
    if (scene === undefined) continue;
    const list = scenes.get(scene);
    if (list === undefined) scenes.set(scene, [clip]);
    else list.push(clip);
  }
  return [...scenes.keys()].sort(byText).map((scene) => inOrder(scenes.get(scene) ?? []));
}

/** Clips in order of their start, then of their names. */
export const inOrder = (clips: readonly SettledClip[]): readonly SettledClip[] =>
  [...clips].sort((a, b) => startOf(a) - startOf(b) || byText(a.clip.name, b.clip.name));

const startOf = ({ facts }: SettledClip): number => valueOf(facts.createdAt)?.epochMilliseconds ?? 0;

/** Frames a clip shows: counted, or its length times its rate. */
export function durationFrames(facts: CardFacts): number | undefined {
  const frames = valueOf(facts.frames);
  if (frames !== undefined) return frames;
  const [length, rate] = [valueOf(facts.durationSeconds), valueOf(facts.frameRate)];
  return length === undefined || rate === undefined ? undefined : Number(round(multiply(length, rate)));
}
