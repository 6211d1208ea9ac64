/** The system's code of an error, such as ENOSPC; empty for any other error. */
export const codeOf = (error: unknown): string =>
  error !== null && typeof error === "object" && "code" in error ? String(error.code) : "";

/** Why a file could not be read or written, in plain words and without paths of this machine. */
export function wordsOf(error: unknown): string {
  const code = codeOf(error);
  if (code === "ENOSPC" || code === "EDQUOT") return "no space left";
  if (code === "EFBIG") return "larger than a file may be there";
  if (code === "EEXIST") return "a file of that name appeared meanwhile and was kept";
  if (code === "EACCES" || code === "EPERM") return "no permission";
  if (code === "EIO") return "the device gave an error";
  if (code === "EROFS") return "read-only";
  if (code === "EINVAL" || code === "EILSEQ" || code === "ENAMETOOLONG") return "a name that is not possible there";
  // The system's own words hold paths of this machine.
  if (code !== "") return `system error ${code}`;
  return error instanceof Error ? (error.message.split("\n")[0] ?? "") : String(error);
}
