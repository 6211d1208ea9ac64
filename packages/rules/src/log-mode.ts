const logName = /(?:^|[^a-z])(?:[a-z]{1,2}|[a-z]{1,3}[-_ ])?log(?:[-_ ]?[a-z0-9]{0,2})?(?:$|[^a-z])/i;

/** Whether a colour mode's name says log: `log`, `log2`, `x-log`, but not `analog` or `catalogue`. */
export const isLogMode = (mode: string): boolean => logName.test(mode);
