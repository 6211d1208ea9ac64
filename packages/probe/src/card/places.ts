import type { CardFile, ClipFile, FileRole, FoundStill } from "@goodgate/model";
import { byCodeUnits, extensionOf, type FileKind, folderOf } from "./kinds.ts";
import { isProxyFolder, isThumbnailFolder } from "./layout.ts";
import type { WalkedFile } from "./walk.ts";

/** Characters a sidecar's or proxy's stem may add to its clip's (clip metadata XML, telemetry.md: "up to 3 more"). */
const mostSuffixCharacters = 3;

/** A file with what its name says of it. */
export interface Place {
  readonly file: WalkedFile;
  readonly kind: FileKind;
  /** Root and folder, so that two cards read together stay apart. */
  readonly folder: string;
  /** Name without extension, as a card's file system compares names. */
  readonly stem: string;
}

/** The file as a part of its clip. */
export const asClipFile = ({ path, bytes, modifiedMilliseconds }: CardFile, role: FileRole): ClipFile => ({
  path,
  bytes,
  modifiedMilliseconds,
  role,
});

/** Finds what a sidecar or a low-resolution copy belongs to, by folder and stem. */
export interface FootageIndex {
  /** The clips a sidecar speaks of: same folder, same stem; or the stem continued by up to three characters. */
  ownersOf(sidecar: Place): readonly Place[];
  /** Originals a low-resolution copy may belong to; one of another folder only for copies kept in a folder of their own. */
  originalsOf(proxy: Place): readonly Place[];
}

/** Footage by folder and stem, so that a card of ten thousand files is grouped in one pass. */
export function indexFootage(footage: readonly Place[]): FootageIndex {
  const beside = new Map<string, Place[]>();
  const anywhere = new Map<string, Place[]>();
  const byDigits = new Map<string, Place[]>();
  for (const place of footage) {
    push(beside, `${place.folder}\n${place.stem}`, place);
    push(anywhere, `${place.file.root}\n${place.stem}`, place);
    const digits = closingDigits(place.stem);
    if (digits !== undefined) push(byDigits, `${place.folder}\n${place.stem.length}\n${digits}`, place);
  }

  /** The one recording of another folder that has the stem, or the stem continued by up to `longest` characters. */
  const elsewhere = ({ file, stem }: Place, longest: number): readonly Place[] => {
    for (let cut = 0; cut <= longest && cut < stem.length; cut += 1) {
      const found = anywhere.get(`${file.root}\n${stem.slice(0, stem.length - cut)}`);
      // One name in two folders says nothing about which is meant.
      if (found?.length === 1) return found;
    }
    return [];
  };

  /** Letters that differ and six or more digits that are the same, in the same folder, when only one fits. */
  const sameNumber = (proxy: Place): readonly Place[] => {
    const digits = closingDigits(proxy.stem);
    const found = byDigits.get(`${proxy.folder}\n${proxy.stem.length}\n${digits}`);
    return digits !== undefined && found?.length === 1 ? found : [];
  };

  return {
    ownersOf(sidecar) {
      // `stem.EXT.xmp` names one file of several with the same stem.
      const inner = /^(.*)\.([a-z0-9]{2,4})$/.exec(sidecar.stem);
      if (sidecar.kind === "xmp" && inner?.[1] !== undefined) {
        const named = beside.get(`${sidecar.folder}\n${inner[1]}`) ?? [];
        const exact = named.filter((place) => extensionOf(place.file.path) === inner[2]);
        if (exact.length > 0) return exact;
      }
      if (isThumbnailFolder(folderOf(sidecar.file.path))) return elsewhere(sidecar, mostSuffixCharacters);
      const longest = sidecar.kind === "xml" ? mostSuffixCharacters : 0;
      for (let cut = 0; cut <= longest && cut < sidecar.stem.length; cut += 1) {
        const stem = sidecar.stem.slice(0, sidecar.stem.length - cut);
        const owners = beside.get(`${sidecar.folder}\n${stem}`);
        if (owners !== undefined) return owners;
      }
      return [];
    },
    originalsOf(proxy) {
      const near = beside.get(`${proxy.folder}\n${proxy.stem}`);
      if (near !== undefined) return near;
      const found = isProxyFolder(folderOf(proxy.file.path)) ? elsewhere(proxy, mostSuffixCharacters) : [];
      return found.length > 0 ? found : sameNumber(proxy);
    },
  };
}

const closingDigits = (stem: string): string | undefined => /\d{6,}$/.exec(stem)?.[0];

function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
}

/** Photographs with the files beside them. */
export interface StillGathering {
  /** Hands a sidecar to the still of its stem; false when there is none. */
  attach(place: Place, role: FileRole): boolean;
  found(): readonly FoundStill[];
}

/** Photographs by folder and stem; a JPEG and a negative of one stem are one still. */
export function gatherStills(places: readonly Place[]): StillGathering {
  const groups = new Map<string, { readonly root: string; readonly files: ClipFile[] }>();
  for (const place of places) {
    const key = `${place.folder}\n${place.stem}`;
    const group = groups.get(key) ?? { root: place.file.root, files: [] };
    group.files.push(asClipFile(place.file, "original"));
    groups.set(key, group);
  }
  return {
    attach(place, role) {
      const bare = place.kind === "xmp" ? place.stem.replace(/\.[a-z0-9]{2,4}$/, "") : place.stem;
      const owner = groups.get(`${place.folder}\n${place.stem}`) ?? groups.get(`${place.folder}\n${bare}`);
      owner?.files.push(asClipFile(place.file, role));
      return owner !== undefined;
    },
    found: () =>
      [...groups.values()].map(({ root, files }) => {
        const originals = files.filter((file) => file.role === "original").sort((a, b) => byCodeUnits(a.path, b.path));
        const others = files.filter((file) => file.role !== "original").sort((a, b) => byCodeUnits(a.path, b.path));
        return { name: originals[0]?.path ?? "", root, files: [...originals, ...others] };
      }),
  };
}
