/** The command was wrong, or a file it names cannot be used: one line that says what to do, exit code 2. */
export class CommandError extends Error {}

/** A card that is not in its reader looks like an empty folder; a seal or a copy of nothing would soothe wrongly. */
export const nothingThere = (card: string): CommandError =>
  new CommandError(`${card}: no files there: see that the card is in its reader, and give the card itself`);
