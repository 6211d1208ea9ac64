import type { CardFile, CardRemark, ClipFile, FileRole, FoundClip, FoundStill, Skipped } from "@goodgate/model";
import { baseName, byCodeUnits, extensionOf, type FileKind, foldedName, folderOf, kindOf, stemOf } from "./kinds.ts";
import { isProxyFolder } from "./layout.ts";
import type { WalkedFile } from "./walk.ts";

/** Characters a sidecar's or proxy's stem may add to its clip's (clip metadata XML, telemetry.md: "up to 3 more"). */
const mostSuffixCharacters = 3;

/** Files sorted into recordings, photographs and the rest. */
export interface Groups {
  readonly clips: readonly FoundClip[];
  readonly stills: readonly FoundStill[];
  readonly skipped: readonly Skipped[];
  readonly remarks: readonly CardRemark[];
}

interface Place {
  readonly file: WalkedFile;
  readonly kind: FileKind;
  readonly folder: string;
  readonly stem: string;
}

/** Groups files by folder and stem. What belongs to nothing is a remark, never lost: every file ends up somewhere. */
export function groupFiles(files: readonly WalkedFile[]): Groups {
  const places = files.map((file): Place => ({
    file,
    kind: kindOf(baseName(file.path)),
    folder: `${file.root}\n${folderOf(file.path)}`,
    stem: foldedName(stemOf(baseName(file.path))),
  }));
  const isProxy = (place: Place): boolean =>
    place.kind === "proxy" || (place.kind === "footage" && isProxyFolder(folderOf(place.file.path)));
  // A file the user named is a recording to him, whatever its extension.
  const isFootage = (place: Place): boolean =>
    (place.kind === "footage" && !isProxy(place)) || (place.file.asked && ["unknown", "proxy"].includes(place.kind));
  const footage = places.filter(isFootage);
  const index = new PlaceIndex(footage);
  const attached = new Map<Place, ClipFile[]>(footage.map((place) => [place, []]));
  const skipped: Skipped[] = [];
  const remarks: CardRemark[] = [];
  const stillPlaces: Place[] = [];
  const lonelyProxies: Place[] = [];
  const attach = (to: readonly Place[], place: Place, role: FileRole): void => {
    for (const clip of to) attached.get(clip)?.push(asClipFile(place.file, role));
  };

  for (const place of places) {
    if (isFootage(place)) continue;
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

  const stills = new StillIndex(stillPlaces);
  for (const place of places) {
    const role = sidecarRoles[place.kind];
    if (role === undefined || isFootage(place)) continue;
    const owners = index.ownersOf(place);
    if (owners.length > 0) attach(owners, place, role);
    else if (stills.attach(place, role)) continue;
    else {
      skipped.push(skip(place, "belongs to no recording here"));
      if (place.kind === "xml" && isStructureXml(place.stem)) continue;
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

const sidecarRoles: Partial<Record<FileKind, FileRole>> = {
  telemetry: "telemetry",
  xmp: "metadata",
  xml: "metadata",
  thumbnail: "thumbnail",
  sound: "sound",
};

/** Media profiles and disc data of clip structures: about the card, not about one clip. */
const isStructureXml = (stem: string): boolean => /^(mediapro|discmeta|status|cueup)$/.test(stem);

const asClipFile = ({ path, bytes, modifiedMilliseconds }: CardFile, role: FileRole): ClipFile => ({
  path,
  bytes,
  modifiedMilliseconds,
  role,
});

const skip = (place: Place, why: string): Skipped => ({ path: place.file.path, why, bytes: place.file.bytes });

/** Footage by folder and stem, so that a card of ten thousand files is grouped in one pass. */
class PlaceIndex {
  readonly #beside = new Map<string, Place[]>();
  readonly #anywhere = new Map<string, Place[]>();
  readonly #byDigits = new Map<string, Place[]>();

  constructor(footage: readonly Place[]) {
    for (const place of footage) {
      push(this.#beside, `${place.folder}\n${place.stem}`, place);
      push(this.#anywhere, `${place.file.root}\n${place.stem}`, place);
      const digits = closingDigits(place.stem);
      if (digits !== undefined) push(this.#byDigits, `${place.folder}\n${place.stem.length}\n${digits}`, place);
    }
  }

  /** The clips a sidecar speaks of: same folder, same stem; or the stem continued by up to three characters. */
  ownersOf(sidecar: Place): readonly Place[] {
    // `stem.EXT.xmp` names one file of several with the same stem.
    const inner = /^(.*)\.([a-z0-9]{2,4})$/.exec(sidecar.stem);
    if (sidecar.kind === "xmp" && inner?.[1] !== undefined) {
      const named = this.#beside.get(`${sidecar.folder}\n${inner[1]}`) ?? [];
      const exact = named.filter((place) => extensionOf(place.file.path) === inner[2]);
      if (exact.length > 0) return exact;
    }
    const longest = sidecar.kind === "xml" ? mostSuffixCharacters : 0;
    for (let cut = 0; cut <= longest && cut < sidecar.stem.length; cut += 1) {
      const stem = sidecar.stem.slice(0, sidecar.stem.length - cut);
      const owners = this.#beside.get(`${sidecar.folder}\n${stem}`);
      if (owners !== undefined) return owners;
    }
    return [];
  }

  /** Originals a low-resolution copy may belong to, best first: beside it, then in another folder by name alone. */
  originalsOf(proxy: Place): readonly Place[] {
    const beside = this.#beside.get(`${proxy.folder}\n${proxy.stem}`);
    if (beside !== undefined) return beside;
    for (let cut = 0; cut <= mostSuffixCharacters && cut < proxy.stem.length; cut += 1) {
      const stem = proxy.stem.slice(0, proxy.stem.length - cut);
      const found = this.#anywhere.get(`${proxy.file.root}\n${stem}`);
      // One name in two folders says nothing about which is meant.
      if (found?.length === 1) return found;
    }
    return this.#sameNumber(proxy);
  }

  /** Copies whose letters differ and whose six or more digits are the same, in the same folder, when only one fits. */
  #sameNumber(proxy: Place): readonly Place[] {
    const digits = closingDigits(proxy.stem);
    const found = this.#byDigits.get(`${proxy.folder}\n${proxy.stem.length}\n${digits}`);
    return digits !== undefined && found?.length === 1 ? found : [];
  }
}

const closingDigits = (stem: string): string | undefined => /\d{6,}$/.exec(stem)?.[0];

function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
}

/** Photographs by folder and stem; a JPEG and a negative of one stem are one still. */
class StillIndex {
  readonly #groups = new Map<string, { readonly root: string; readonly files: ClipFile[] }>();

  constructor(places: readonly Place[]) {
    for (const place of places) {
      const key = `${place.folder}\n${place.stem}`;
      const group = this.#groups.get(key) ?? { root: place.file.root, files: [] };
      group.files.push(asClipFile(place.file, "original"));
      this.#groups.set(key, group);
    }
  }

  /** Hands a sidecar to the still of its stem; false when there is none. */
  attach(place: Place, role: FileRole): boolean {
    const bare = place.kind === "xmp" ? place.stem.replace(/\.[a-z0-9]{2,4}$/, "") : place.stem;
    const owner = this.#groups.get(`${place.folder}\n${place.stem}`) ?? this.#groups.get(`${place.folder}\n${bare}`);
    owner?.files.push(asClipFile(place.file, role));
    return owner !== undefined;
  }

  found(): readonly FoundStill[] {
    return [...this.#groups.values()].map(({ root, files }) => {
      const originals = files.filter((file) => file.role === "original").sort((a, b) => byCodeUnits(a.path, b.path));
      const beside = files.filter((file) => file.role !== "original").sort((a, b) => byCodeUnits(a.path, b.path));
      return { name: originals[0]?.path ?? "", root, files: [...originals, ...beside] };
    });
  }
}
