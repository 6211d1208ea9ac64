/** Codec names as ffprobe prints them, by sample entry (ISO/IEC 14496-12 and -15 and the MP4 registration authority). */
const pictureCodecs: Readonly<Record<string, string>> = {
  avc1: "h264",
  avc2: "h264",
  avc3: "h264",
  avc4: "h264",
  hvc1: "hevc",
  hev1: "hevc",
  hvc2: "hevc",
  hev2: "hevc",
  dvh1: "hevc",
  dvhe: "hevc",
  dva1: "h264",
  dvav: "h264",
  vvc1: "vvc",
  vvi1: "vvc",
  av01: "av1",
  vp08: "vp8",
  vp09: "vp9",
  mp4v: "mpeg4",
  jpeg: "mjpeg",
  mjpa: "mjpeg",
  mjpb: "mjpegb",
  apco: "prores",
  apcs: "prores",
  apcn: "prores",
  apch: "prores",
  ap4h: "prores",
  ap4x: "prores",
  s263: "h263",
  h263: "h263",
  mp2v: "mpeg2video",
  m2v1: "mpeg2video",
  mpg2: "mpeg2video",
  mpeg: "mpeg1video",
  m1v1: "mpeg1video",
  FMP4: "mpeg4",
  XVID: "mpeg4",
  DIVX: "mpeg4",
  dvc: "dvvideo",
  dvcp: "dvvideo",
  dvpp: "dvvideo",
  dv5n: "dvvideo",
  dv5p: "dvvideo",
  dvhp: "dvvideo",
  dvhq: "dvvideo",
  v210: "v210",
  raw: "rawvideo",
  "2vuy": "rawvideo",
  yuv2: "rawvideo",
  rle: "qtrle",
  png: "png",
  mjp2: "jpeg2000",
  "vc-1": "vc1",
  FFV1: "ffv1",
  AVdn: "dnxhd",
  AVdh: "dnxhd",
  CFHD: "cfhd",
};

/** Families of codes that tell raster and rate in their last characters. */
const pictureFamilies: readonly (readonly [RegExp, string])[] = [
  [/^(?:hdv[1-9a]|xdv[1-9a-f]|xd[45h][1-9a-f]|xdh[d2]|mx[345][np])$/, "mpeg2video"],
  [/^ai[15x](?:[2356pq]|[vx])$/, "h264"],
  [/^dvh[2-6]$/, "dvvideo"],
];

/** Profile, bit depth and chroma of intra codecs that name them by their sample entry. */
const intraProfiles: Readonly<Record<string, readonly [string, number, string]>> = {
  apco: ["Proxy", 10, "4:2:2"],
  apcs: ["LT", 10, "4:2:2"],
  apcn: ["Standard", 10, "4:2:2"],
  apch: ["HQ", 10, "4:2:2"],
  ap4h: ["4444", 12, "4:4:4"],
  ap4x: ["XQ", 12, "4:4:4"],
};

/** What the sample entry of an intra codec says by its name alone. */
export const intraProfile = (entry: string): readonly [string, number, string] | undefined => intraProfiles[entry];

/** The codec of a picture sample entry; undefined for one not known here. */
export function pictureCodec(entry: string): string | undefined {
  const name = entry.trim();
  if (Object.hasOwn(pictureCodecs, name)) return pictureCodecs[name];
  return pictureFamilies.find(([pattern]) => pattern.test(name))?.[1];
}

/** Codecs by the object type of `esds` (MP4 registration authority, "Object types"). */
const objectTypes: Readonly<Record<number, string>> = {
  0x20: "mpeg4",
  0x21: "h264",
  0x40: "aac",
  0x60: "mpeg2video",
  0x61: "mpeg2video",
  0x62: "mpeg2video",
  0x63: "mpeg2video",
  0x64: "mpeg2video",
  0x65: "mpeg2video",
  0x66: "aac",
  0x67: "aac",
  0x68: "aac",
  0x69: "mp3",
  0x6a: "mpeg1video",
  0x6b: "mp3",
  0x6c: "mjpeg",
  0xa5: "ac3",
  0xa6: "eac3",
};

/** The codec of an elementary stream descriptor's object type. */
export const objectTypeCodec = (type: number): string | undefined => objectTypes[type];

const soundCodecs: Readonly<Record<string, string>> = {
  mp4a: "aac",
  "ac-3": "ac3",
  "ec-3": "eac3",
  alac: "alac",
  fLaC: "flac",
  Opus: "opus",
  ".mp3": "mp3",
  QDM2: "qdm2",
  QDMC: "qdmc",
  samr: "amr_nb",
  sawb: "amr_wb",
  ulaw: "pcm_mulaw",
  alaw: "pcm_alaw",
  in24: "pcm_s24be",
  in32: "pcm_s32be",
  fl32: "pcm_f32be",
  fl64: "pcm_f64be",
};

/** The codec of a sound sample entry; `bits` is the sample size it states. */
export function soundCodec(entry: string, bits: number): string | undefined {
  const eight = bits === 8;
  if (entry === "sowt") return eight ? "pcm_s8" : "pcm_s16le";
  if (entry === "twos") return eight ? "pcm_s8" : "pcm_s16be";
  if (entry === "raw ") return "pcm_u8";
  return Object.hasOwn(soundCodecs, entry) ? soundCodecs[entry] : undefined;
}
