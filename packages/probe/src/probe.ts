export { openQuietly } from "./bytes.ts";
export { confirmProxies, proxyRemarks } from "./card/confirm-proxies.ts";
export { findCard } from "./card/find-card.ts";
export { joinSpans, spanRemarks } from "./card/join-spans.ts";
export type { FfprobeProgram, ReadOptions } from "./contracts.ts";
export { findFfprobe, type FoundFfprobe } from "./ffprobe/find-ffprobe.ts";
export { readClip } from "./read-clip.ts";
export { groupStills } from "./stills/group-stills.ts";
export { readStill } from "./stills/read-still.ts";
