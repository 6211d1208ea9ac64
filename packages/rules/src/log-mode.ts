const logName = /(?:^|[^a-z])(?:[a-z]{1,2}|[a-z]{1,3}[-_ ])?log(?:[-_ ]?[a-z0-9]{0,2})?(?:$|[^a-z])/i;

// Clips of a card name a handful of modes. Emptied when it grows past this.
const mostKnown = 500;
const known = new Map<string, boolean>();

/** Whether a colour mode's name says log: `log`, `log2`, `x-log`, but not `analog` or `catalogue`. */
export function isLogMode(mode: string): boolean {
  let says = known.get(mode);
  if (says === undefined) {
    if (known.size >= mostKnown) known.clear();
    known.set(mode, (says = logName.test(mode)));
  }
  return says;
}
