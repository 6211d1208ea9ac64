import type { Motion } from "../../charts/picture.ts";
import { colourStyle } from "./style-colours.ts";
import { narrowStyle } from "./style-narrow.ts";
import { paperStyle } from "./style-paper.ts";
import { clipsStyle, layoutStyle, picturesStyle } from "./style-screen.ts";

/** Sweeps a bar makes by itself: four of about a second stay under the five after which motion must be stoppable. */
const sweeps = 4;

/**
 * The page's whole style. Colours are variables, so that dark, high contrast, forced colours and paper each set them
 * once; every text colour has at least 7:1 on its ground (WCAG 2.2, success criterion 1.4.6), which a test checks.
 */
export const pageStyle = (motions: readonly Motion[]): string =>
  [colourStyle, layoutStyle, clipsStyle, picturesStyle, narrowStyle, paperStyle, motionStyle(motions)].join("");

/** Where each bar of the cadence strips stands, frame by frame; nothing moves when less motion is preferred. */
function motionStyle(motions: readonly Motion[]): string {
  if (motions.length === 0) return "";
  const rules = motions.map(({ name, places, seconds }) => {
    const first = places[0] ?? 0;
    const frames = places.map(
      (place, at) =>
        `${Number(((100 * at) / places.length).toFixed(2))}%{transform:translateX(${Number((place - first).toFixed(1))}px)}`,
    );
    const last = places[places.length - 1] ?? first;
    return `.${name}{animation:${name} ${Number(seconds.toFixed(3))}s step-end ${sweeps}}@keyframes ${name}{${frames.join("")}to{transform:translateX(${Number((last - first).toFixed(1))}px)}}`;
  });
  return `@media (prefers-reduced-motion:no-preference){${rules.join("\n")}
.moving .mover{animation-iteration-count:infinite}}
@media (prefers-reduced-motion:reduce){.play{display:none}}
`;
}
