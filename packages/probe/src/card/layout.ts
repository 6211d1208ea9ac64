import { baseName, extensionOf, folderOf, stemOf } from "./kinds.ts";

/** DCF folder and file names (CIPA DC-009): `nnnAAAAA` with nnn from 100, `AAAAnnnn`. */
const dcfFolder = /^[1-9]\d{2}[0-9A-Z_]{5}$/i;

const footage = /^(mp4|mov|mxf)$/;

/**
 * The layout of a card from its structure alone: `camera folders (DCF)`, `transport-stream tree`,
 * `clip folders with XML`, `plain folder`, `single files`.
 */
export function recogniseLayout(paths: readonly string[], folders: readonly string[], anyFolderGiven: boolean): string {
  if (!anyFolderGiven) return "single files";
  const named = new Set(folders.map((folder) => baseName(folder).toLowerCase()));
  if (named.has("bdmv") && named.has("stream")) return "transport-stream tree";
  const dcim = folders.some(
    (folder) => dcfFolder.test(baseName(folder)) && baseName(folderOf(folder)).toLowerCase() === "dcim",
  );
  if (dcim || [...paths].some((path) => /(^|\/)dcim\//i.test(path))) return "camera folders (DCF)";
  const xmlFolders = new Set(paths.filter((path) => extensionOf(path) === "xml").map(folderOf));
  const withClips = paths.some((path) => footage.test(extensionOf(path)) && xmlFolders.has(folderOf(path)));
  const clipFolders = [...xmlFolders].some((folder) => /^(clip|clpr|contents)$/i.test(baseName(folder)));
  if (withClips && (clipFolders || named.has("clip") || named.has("sub"))) return "clip folders with XML";
  // A folder for every clip, named as the clip in it.
  const ownFolder = paths.some((path) => {
    const folder = folderOf(path);
    return footage.test(extensionOf(path)) && xmlFolders.has(folder) && stemOf(baseName(path)) === baseName(folder);
  });
  // Pictures and their XML in sibling folders.
  const siblings = [...xmlFolders].some(
    (folder) =>
      named.has("video") && /^clip$/i.test(baseName(folder)) && /^contents$/i.test(baseName(folderOf(folder))),
  );
  if (ownFolder || siblings) return "clip folders with XML";
  return "plain folder";
}

/** Folders that hold a small picture of each recording by their name. */
export const isThumbnailFolder = (path: string): boolean => /^(thmbnl|thumbnails?)$/i.test(baseName(path));

/** Folders that hold low-resolution copies by their name. */
export const isProxyFolder = (path: string): boolean =>
  path.split("/").some((part) => /^(sub|proxy|proxies)$/i.test(part));
