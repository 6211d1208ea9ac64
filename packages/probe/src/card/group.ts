import type { CardRemark, ClipFile, FileRole, FoundClip, FoundStill, Skipped } from "@goodgate/model";
import { baseName, byCodeUnits, type FileKind, foldedName, folderOf, kindOf, stemOf } from "./kinds.ts";
import { isProxyFolder, isThumbnailFolder } from "./layout.ts";
import { asClipFile, gatherStills, indexFootage, type Place } from "./places.ts";
import type { WalkedFile } from "./walk.ts";

/** Files sorted into recordings, photographs and the rest. */
export interface Groups {
  readonly clips: readonly FoundClip[];
  readonly stills: readonly FoundStill[];
  readonly skipped: readonly Skipped[];
  readonly remarks: readonly CardRemark[];
}

/** Groups files by folder and stem. What belongs to nothing is a remark, never lost: every file ends up somewhere. */
export function groupFiles(files: readonly WalkedFile[]): Groups {
  const places = files.map((file): Place => ({
    file,
    kind: kindIn(file.path),
    folder: `${file.root}\n${folderOf(file.path)}`,
    stem: foldedName(stemOf(baseName(file.path))),
  }));
  const stems = new Set(places.filter(isFootage).map(stemKey));
  // Sound that was named and lies beside no recording is opened, to say what it is.
  const isOpened = (place: Place): boolean =>
    isFootage(place) || (place.kind === "sound" && place.file.asked && !stems.has(stemKey(place)));
  const footage = places.filter(isOpened);
  const index = indexFootage(footage);
  const clipFolders = new Set(footage.map((place) => place.folder));
  const attached = new Map<Place, ClipFile[]>(footage.map((place) => [place, []]));
  const skipped: Skipped[] = [];
  const remarks: CardRemark[] = [];
  const stillPlaces: Place[] = [];
  const lonelyProxies: Place[] = [];
  const attach = (to: readonly Place[], place: Place, role: FileRole): void => {
    for (const clip of to) attached.get(clip)?.push(asClipFile(place.file, role));
  };

  for (const place of places) {
    if (isOpened(place)) continue;
    if (isProxy(place)) {
      const [original] = index.originalsOf(place);
      if (original === undefined) lonelyProxies.push(place);
      else attach([original], place, "proxy");
      continue;
    }
    switch (place.kind) {
      case "still":
      case "raw still":
        stillPlaces.push(place);
        break;
      case "telemetry":
      case "xmp":
      case "xml":
      case "thumbnail":
      case "sound":
        break;
      case "structure":
        skipped.push(skip(place, "index of the card's own structure: copy the tree whole"));
        break;
      default:
        skipped.push(skip(place, "not a kind of file that holds footage"));
    }
  }

  const stills = gatherStills(stillPlaces);
  for (const place of places) {
    const role = sidecarRoles[place.kind];
    if (role === undefined || isOpened(place)) continue;
    const owners = index.ownersOf(place);
    if (owners.length > 0) attach(owners, place, role);
    else if (stills.attach(place, role)) continue;
    else {
      skipped.push(skip(place, "belongs to no recording here"));
      // Clip structures keep an XML of the whole card above the folders of clips.
      if (place.kind === "xml" && !clipFolders.has(place.folder)) continue;
      // A folder of thumbnails keeps those of recordings that were erased.
      if (isThumbnailFolder(folderOf(place.file.path))) continue;
      const says = `${place.file.path} has no recording of its name beside it`;
      remarks.push({ kind: place.kind === "sound" ? "lone-sound" : "orphan-sidecar", says, paths: [place.file.path] });
    }
  }
  for (const place of lonelyProxies) {
    remarks.push({
      kind: "orphan-proxy",
      says: `${place.file.path} is a low-resolution copy whose original is not here`,
      paths: [place.file.path],
    });
    skipped.push(skip(place, "low-resolution copy without its original"));
  }

  const clips = footage.map((place): FoundClip => ({
    name: place.file.path,
    root: place.file.root,
    joints: [],
    files: [
      asClipFile(place.file, "original"),
      ...(attached.get(place) ?? []).sort((a, b) => byCodeUnits(a.path, b.path)),
    ],
  }));
  return { clips, stills: stills.found(), skipped, remarks };
}

/** The kind of a file by its extension; a picture in a folder of thumbnails is one. */
function kindIn(path: string): FileKind {
  const kind = kindOf(baseName(path));
  return kind === "still" && isThumbnailFolder(folderOf(path)) ? "thumbnail" : kind;
}

const sidecarRoles: Partial<Record<FileKind, FileRole>> = {
  telemetry: "telemetry",
  xmp: "metadata",
  xml: "metadata",
  thumbnail: "thumbnail",
  sound: "sound",
};

const skip = (place: Place, why: string): Skipped => ({ path: place.file.path, why, bytes: place.file.bytes });

const stemKey = ({ folder, stem }: Place): string => `${folder}\n${stem}`;

const isProxy = (place: Place): boolean =>
  place.kind === "proxy" || (place.kind === "footage" && isProxyFolder(folderOf(place.file.path)));
// A file the user named is a recording to him, whatever its extension.
const isFootage = (place: Place): boolean =>
  (place.kind === "footage" && !isProxy(place)) || (place.file.asked && ["unknown", "proxy"].includes(place.kind));
