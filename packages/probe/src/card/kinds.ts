/** What a file may be, by its name alone. */
export type FileKind =
  | "footage"
  | "proxy"
  | "still"
  | "raw still"
  | "telemetry"
  | "xmp"
  | "xml"
  | "thumbnail"
  | "sound"
  | "structure"
  | "unknown";

const kindsByExtension: Readonly<Record<string, FileKind>> = {
  ...kind("footage", "mp4 mov m4v qt 3gp 3g2 mkv webm ts mts m2ts m2t mxf avi mpg mpeg vob ogv ogg flv wmv asf dv"),
  // Low-resolution recordings under their own extension, the same bytes as an MP4 inside.
  ...kind("proxy", "lrv lrf"),
  ...kind("still", "jpg jpeg heic heif hif png tif tiff"),
  // A negative as the sensor gave it; DNG is the published one, the others are counted and not opened.
  ...kind("raw still", "dng raw"),
  ...kind("telemetry", "srt ass ssa vtt"),
  ...kind("xmp", "xmp"),
  ...kind("xml", "xml"),
  ...kind("thumbnail", "thm"),
  ...kind("sound", "wav aac m4a mp3"),
  // Indexes of transport-stream trees: needed by players, nothing to judge.
  ...kind("structure", "mpl mpls cpi clpi bdm bdmv"),
};

function kind(name: FileKind, extensions: string): Record<string, FileKind> {
  return Object.fromEntries(extensions.split(" ").map((extension) => [extension, name]));
}

/** The kind of a file by its extension, whatever the case. */
export const kindOf = (name: string): FileKind => kindsByExtension[extensionOf(name)] ?? "unknown";

/** The last extension in lower case without its dot; empty when there is none. */
export function extensionOf(name: string): string {
  const dot = name.lastIndexOf(".");
  return dot <= 0 ? "" : name.slice(dot + 1).toLowerCase();
}

/** The name without its last extension. */
export function stemOf(name: string): string {
  const dot = name.lastIndexOf(".");
  return dot <= 0 ? name : name.slice(0, dot);
}

/** The part of a card path after its last slash. */
export const baseName = (path: string): string => path.slice(path.lastIndexOf("/") + 1);
/** The part of a card path before its last slash; empty at the top. */
export const folderOf = (path: string): string => path.slice(0, Math.max(0, path.lastIndexOf("/")));

/** Names compared as a card's file system does: case does not count, spelling of accents does not either. */
export const foldedName = (name: string): string => name.normalize("NFC").toLowerCase();

/** Plain order by code units, the same on every machine and in every language. */
export const byCodeUnits = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

const systemFolders = new Set(["system volume information", "$recycle.bin", "recycler", "__macosx"]);
const systemFiles = new Set(["thumbs.db", "desktop.ini", "indexervolumeguid"]);
/** Folders in which a file system check leaves the pieces of files it could not place. */
const recoveryFolder = /^(lost\.dir|found\.\d{3}|lost\+found)$/i;

/** Why a folder holds no recordings, or undefined when it must be looked into. */
export function skippedFolder(name: string): string | undefined {
  if (recoveryFolder.test(name)) return "pieces recovered by a file system check";
  if (name.startsWith(".")) return "hidden folder of a computer";
  return systemFolders.has(name.toLowerCase()) ? "system folder" : undefined;
}

/** Whether a folder is where file system checks put recovered pieces. */
export const isRecoveryFolder = (name: string): boolean => recoveryFolder.test(name);

/** Why a file is no recording by its name, or undefined. */
export function skippedFile(name: string): string | undefined {
  // RFC 1740: the second fork of a file, written beside it by some computers.
  if (name.startsWith("._")) return "companion file of a computer (AppleDouble)";
  if (name.startsWith(".")) return "hidden file";
  return systemFiles.has(name.toLowerCase()) ? "system file" : undefined;
}
