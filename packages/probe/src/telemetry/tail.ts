/** Characters of the shape compared; enough for ` </font>` to differ from a cut number, few enough for values to vary. */
const compared = 4;
/** A cue shorter than this share of the one before it lacks more than a few digits. */
const leastLength = 0.8;

/**
 * Whether the last cue of a file that does not end as a whole cue ends was cut off: it has fewer lines than the cue
 * before it, is much shorter, or its end has another shape, digits counted alike. With no cue before it, an open bracket
 * tells.
 */
export function isCutOff(last: string, before: string | undefined): boolean {
  if (before === undefined) {
    return last.lastIndexOf("[") > last.lastIndexOf("]") || last.lastIndexOf("(") > last.lastIndexOf(")");
  }
  const own = last.trimEnd();
  const whole = before.trimEnd();
  return (
    lineCount(own) < lineCount(whole) || own.length < whole.length * leastLength || endShape(own) !== endShape(whole)
  );
}

const lineCount = (cue: string): number => cue.split(/\n|\\N/).length;

/** The last characters with every run of digits as one zero. */
const endShape = (cue: string): string => cue.slice(-64).replace(/\d+/g, "0").slice(-compared);
