import type { ClipReport } from "../schema.ts";
import { clipTimeAxis } from "./axes.ts";
import { type Mark, type Picture, pictureWidth, rect, text } from "./picture.ts";
import { seenRibbons } from "./seen-ribbons.ts";
import { holes, lookedSpans, lookedText } from "./seen-values.ts";
import { clipSeconds } from "./values.ts";

/** Room of one ribbon with its heading, and the gap to the next. */
const ribbonHeight = 84;
const gap = 8;
/** A hole as wide as this has room for its words. */
const wordsWidth = 76;

/**
 * What the pictures said through the clip, beside what was recorded: shutter angle, motion, brightness, drift and the
 * horizon, on one time axis. What was not looked at is hatched. Undefined when nothing was asked of the pictures or they
 * could tell nothing.
 */
export function seenPicture(clip: ClipReport): Picture | undefined {
  const ribbons = seenRibbons(clip);
  const seconds = clipSeconds(clip);
  const { x } = clipTimeAxis(seconds, 0);
  const drawn = ribbons.map(({ draw }) => draw).filter((draw) => draw(x, 0, ribbonHeight).length > 0);
  if (drawn.length === 0) return undefined;
  const bottom = drawn.length * ribbonHeight;
  const unseen = holes(lookedSpans(clip), seconds);
  const looked = lookedText(clip);
  const says = [...ribbons.map((ribbon) => ribbon.says), ...(looked === undefined ? [] : [looked])].join("; ");
  return {
    id: "seen",
    title: "What the pictures say",
    says: `${says.slice(0, 1).toUpperCase()}${says.slice(1)}.`,
    ...(unseen.length === 0 ? {} : { hint: "Hatched: not looked at." }),
    width: pictureWidth,
    height: bottom + 24,
    marks: [
      ...drawn.flatMap((draw, place) => {
        const [top, foot] = [place * ribbonHeight, (place + 1) * ribbonHeight - gap];
        const hatched = unseen.map(({ from, to }) =>
          rect("unseen", x.at(from), top + 2 * gap, x.at(to) - x.at(from), foot - top - 2 * gap),
        );
        return [...hatched, ...draw(x, top, foot)];
      }),
      ...wordsOf(unseen, x),
      ...clipTimeAxis(seconds, bottom).marks,
    ],
  };
}

/** The words stand once, in the widest hole that has room for them. */
function wordsOf(unseen: ReturnType<typeof holes>, x: { at(value: number): number }): readonly Mark[] {
  const [widest] = [...unseen].sort((a, b) => b.to - b.from - (a.to - a.from));
  if (widest === undefined || x.at(widest.to) - x.at(widest.from) < wordsWidth) return [];
  return [text("small mid", x.at((widest.from + widest.to) / 2), ribbonHeight / 2 + gap, "not looked at")];
}
