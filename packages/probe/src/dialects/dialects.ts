import bracketedPairs from "./bracketed-pairs.ts";
import type { Dialect } from "./dialect.ts";
import homeGpsLines from "./home-gps-lines.ts";
import letteredGpsLines from "./lettered-gps-lines.ts";
import slashLine from "./slash-line.ts";

/** Every dialect of text telemetry, the most frequent first. */
export const dialects: readonly Dialect[] = [bracketedPairs, slashLine, homeGpsLines, letteredGpsLines];
