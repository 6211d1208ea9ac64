/** The command was wrong, or a file it names cannot be used: one line that says what to do, exit code 2. */
export class CommandError extends Error {}
