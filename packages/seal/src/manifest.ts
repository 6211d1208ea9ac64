/** One line of a manifest. */
export interface ManifestEntry {
  readonly sha256: string;
  /** Path with forward slashes; undefined bytes of broken names stand as replacement characters. */
  readonly path: string;
  /** The path's own bytes, when known. */
  readonly rawPath?: Buffer;
}

/** Whether a name is the UTF-8 it claims to be. */
export const isUtf8Name = (raw: Buffer): boolean =>
  Buffer.compare(Buffer.from(raw.toString("utf8"), "utf8"), raw) === 0;

/**
 * A manifest as `sha256sum` writes and `sha256sum -c` reads: hash, two spaces, path. A name with a backslash, newline
 * or carriage return is escaped and the line starts with a backslash (GNU coreutils manual, "md5sum invocation").
 */
export function checksumList(entries: readonly ManifestEntry[], folder = ""): Buffer {
  const lines = entries.map((entry) => {
    const raw = entry.rawPath ?? Buffer.from(entry.path, "utf8");
    const path = Buffer.concat([Buffer.from(folder), raw]);
    // Latin-1 keeps every byte as one character, so that the escapes touch only what they name.
    const text = path.toString("latin1");
    const escaped = text.replaceAll("\\", "\\\\").replaceAll("\n", "\\n").replaceAll("\r", "\\r");
    return Buffer.from(`${escaped === text ? "" : "\\"}${entry.sha256}  ${escaped}\n`, "latin1");
  });
  return Buffer.concat(lines);
}

/** A payload manifest of RFC 8493, section 2.1.3: line breaks and percent signs in names are percent-encoded. */
export function bagManifest(entries: readonly ManifestEntry[]): string {
  return entries
    .map(({ sha256, path }) => {
      const name = path.replaceAll("%", "%25").replaceAll("\n", "%0A").replaceAll("\r", "%0D");
      return `${sha256}  data/${name}\n`;
    })
    .join("");
}

/** A line of a checksum list that cannot be read. */
export class ManifestError extends Error {}

const form = /^(\\?)([0-9a-fA-F]{64}) [ *]([\s\S]+)$/;

/** Reads a checksum list back. Throws a ManifestError naming the line. */
export function parseChecksumList(bytes: Buffer): readonly ManifestEntry[] {
  const entries = new Map<string, ManifestEntry>();
  let number = 0;
  for (const ended of bytes.toString("latin1").split("\n")) {
    number += 1;
    // A carriage return of a name is escaped; a bare one is the line end of another system.
    const line = ended.endsWith("\r") ? ended.slice(0, -1) : ended;
    if (line === "") continue;
    const match = form.exec(line);
    if (match === null) throw new ManifestError(`line ${number} is no checksum line`);
    const [, mark, hash = "", name = ""] = match;
    const plain =
      mark === ""
        ? name
        : name.replace(/\\([\\nr])/g, (_, sign: string) => (sign === "n" ? "\n" : sign === "r" ? "\r" : "\\"));
    const rawPath = Buffer.from(plain, "latin1");
    const sha256 = hash.toLowerCase();
    const known = entries.get(plain);
    if (known !== undefined && known.sha256 !== sha256) throw new ManifestError(`line ${number} gives a second hash`);
    entries.set(plain, { sha256, path: rawPath.toString("utf8"), rawPath });
  }
  return [...entries.values()];
}
