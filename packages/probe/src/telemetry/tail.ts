/** Characters of the shape compared; enough for ` </font>` to differ from a cut number, few enough for values to vary. */
const compared = 4;

/**
 * Whether the last cue of a file that does not end in a line break was cut off: its end has another shape than the end
 * of the cue before it, digits counted alike. With no cue before it, an open bracket tells.
 */
export function isCutOff(last: string, before: string | undefined): boolean {
  const shape = endShape(last);
  if (before !== undefined) return shape !== endShape(before);
  return last.lastIndexOf("[") > last.lastIndexOf("]") || last.lastIndexOf("(") > last.lastIndexOf(")");
}

/** The last characters with every run of digits as one zero. */
const endShape = (cue: string): string => cue.trimEnd().slice(-64).replace(/\d+/g, "0").slice(-compared);
