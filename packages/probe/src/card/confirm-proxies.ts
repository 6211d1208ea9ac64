import { type CardRemark, type Clip, type ClipFile, compare, distance, invert, valueOf } from "@goodgate/model";
import type { ClipHead, HeadFacts } from "./clip-head.ts";
import { sameMoment } from "../sidecars/creation-time.ts";
import { baseName, foldedName, folderOf, stemOf } from "./kinds.ts";

/**
 * Folds low-resolution copies that look like recordings of their own (same stem, another folder or extension) into
 * their originals. Names only propose; the copy must last as long within one of its frames and have the lower raster,
 * and outside the original's folder its clock must not tell another moment. Order is kept.
 */
export function confirmProxies(clips: readonly Clip[]): readonly Clip[] {
  const pairs = proxyPairs(clips);
  const folded = new Set(pairs.values());
  return clips.flatMap((clip) => {
    const proxy = pairs.get(clip);
    return folded.has(clip) ? [] : [proxy === undefined ? clip : withProxy(clip, proxy)];
  });
}

/** Each original with the low-resolution copy that lies on the card like a recording of its own. */
export function proxyPairs<Head extends ClipHead>(clips: readonly Head[]): ReadonlyMap<Head, Head> {
  const byStem = new Map<string, Head[]>();
  for (const clip of clips) {
    if (clip.notFootage !== undefined || clip.joints.length > 0) continue;
    const stem = foldedName(stemOf(baseName(clip.name)));
    byStem.set(stem, [...(byStem.get(stem) ?? []), clip]);
  }
  const proxyOf = new Map<Head, Head>();
  for (const group of byStem.values()) {
    for (const small of group) {
      const originals = group.filter(
        (large) => large !== small && large.proxyFacts === undefined && isProxyOf(small, large),
      );
      const [original] = originals;
      if (originals.length === 1 && original !== undefined) proxyOf.set(small, original);
    }
  }
  const proxies = new Map<Head, Head>();
  for (const [small, large] of proxyOf) if (!proxyOf.has(large) && !proxies.has(large)) proxies.set(large, small);
  return proxies;
}

/** The original with its copy folded into it. */
export function withProxy(clip: Clip, proxy: Clip): Clip {
  const files = proxy.files.map((file): ClipFile => (file.role === "original" ? { ...file, role: "proxy" } : file));
  return {
    ...clip,
    files: [...clip.files, ...files.filter((file) => !clip.files.some((one) => one.path === file.path))],
    proxyFacts: proxy.facts,
    cost: {
      ...clip.cost,
      bytes: clip.cost.bytes + proxy.cost.bytes,
      calls: clip.cost.calls + proxy.cost.calls,
      milliseconds: clip.cost.milliseconds + proxy.cost.milliseconds,
    },
  };
}

function isProxyOf(small: ClipHead, large: ClipHead): boolean {
  if (difference(small.facts, large.facts) !== undefined) return false;
  if (folderOf(small.name) === folderOf(large.name)) return true;
  // The same name in two folders is legal for two recordings, so the clock must speak for it.
  const [a, b] = [valueOf(small.facts.createdAt), valueOf(large.facts.createdAt)];
  return a !== undefined && b !== undefined && sameMoment(a, b);
}

/** In what a low-resolution copy contradicts its original; undefined when length and raster fit. */
function difference(proxy: HeadFacts, original: HeadFacts): string | undefined {
  const [short, long] = [valueOf(proxy.durationSeconds), valueOf(original.durationSeconds)];
  const rate = valueOf(proxy.frameRate);
  const [width, height] = [valueOf(proxy.width), valueOf(proxy.height)];
  const [fullWidth, fullHeight] = [valueOf(original.width), valueOf(original.height)];
  if (short === undefined || long === undefined || rate === undefined) return "its length is not known";
  if (width === undefined || height === undefined || fullWidth === undefined || fullHeight === undefined) {
    return "its raster is not known";
  }
  if (compare(distance(short, long), invert(rate)) > 0) return "its length differs by more than a frame";
  return width * height < fullWidth * fullHeight ? undefined : "its raster is not the lower one";
}

/** Remarks on low-resolution copies that do not fit the original they lie beside. */
export function proxyRemarks(clips: readonly ClipHead[]): readonly CardRemark[] {
  return clips.flatMap((clip) => {
    const proxy = clip.files.find((file) => file.role === "proxy");
    if (proxy === undefined || clip.proxyFacts === undefined || clip.notFootage !== undefined) return [];
    const why = difference(clip.proxyFacts, clip.facts);
    if (why === undefined) return [];
    const says = `${proxy.path} is not confirmed as the low-resolution copy of ${clip.name}: ${why}`;
    return [{ kind: "proxy-differs", says, paths: [clip.name, proxy.path] }];
  });
}
