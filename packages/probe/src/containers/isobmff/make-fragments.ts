import { be, box, full, joined, pictureEntry, text } from "./make-movie.ts";

/** What a made fragmented recording holds; every fragment has the same shape. */
export interface FragmentPlan {
  readonly timescale: number;
  /** Duration of each sample, fragment after fragment. */
  readonly durations: readonly (readonly number[])[];
  /** Composition offset of each sample of every fragment, in turn. */
  readonly offsets?: readonly number[];
  readonly sampleBytes: number;
  /** State durations once in the track header box of the movie instead of by sample. */
  readonly defaultDuration?: number;
  readonly index?: boolean;
}

/** A fragmented recording: a movie header without samples, then one `moof` and `mdat` a fragment. */
export function makeFragments(plan: FragmentPlan): Uint8Array {
  const { timescale, durations, offsets, sampleBytes } = plan;
  const none = be(4, 0);
  const moov = box(
    "moov",
    full(
      "mvhd",
      0,
      0,
      be(4, 0, 0, 1000, 0, 0x10000),
      be(2, 0x100),
      new Uint8Array(10),
      matrix,
      new Uint8Array(24),
      be(4, 2),
    ),
    box(
      "trak",
      full("tkhd", 0, 3, be(4, 0, 0, 1, 0, 0, 0, 0), be(2, 0, 0, 0, 0), matrix, be(4, 0, 0)),
      box(
        "mdia",
        full("mdhd", 0, 0, be(4, 0, 0, timescale, 0), be(2, 0, 0)),
        full("hdlr", 0, 0, be(4, 0), text("vide"), new Uint8Array(13)),
        box(
          "minf",
          box(
            "stbl",
            full("stsd", 0, 0, be(4, 1), pictureEntry("avc1", 320, 180)),
            full("stts", 0, 0, none),
            full("stsc", 0, 0, none),
            full("stsz", 0, 0, be(4, 0, 0)),
            full("stco", 0, 0, none),
          ),
        ),
      ),
    ),
    box("mvex", full("trex", 0, 0, be(4, 1, 1, plan.defaultDuration ?? 0, 0, 0x10000))),
  );
  let at = 0;
  const parts = durations.map((list, place) => {
    const start = at;
    at += list.reduce((sum, one) => sum + one, 0);
    return fragment(plan, list, place + 1, start, sampleBytes, offsets);
  });
  const lengths = durations.map((list) => list.reduce((sum, one) => sum + one, 0));
  const sidx =
    plan.index === true
      ? full(
          "sidx",
          0,
          0,
          be(4, 1, timescale, 0, 0),
          be(2, 0, parts.length),
          ...parts.map((part, place) => be(4, part.length, lengths[place] ?? 0, 0x90000000)),
        )
      : new Uint8Array(0);
  return joined(box("ftyp", text("iso5"), be(4, 512), text("iso5")), moov, sidx, ...parts);
}

const matrix = be(4, 0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000);

function fragment(
  plan: FragmentPlan,
  list: readonly number[],
  number: number,
  start: number,
  sampleBytes: number,
  offsets: readonly number[] | undefined,
): Uint8Array {
  const stated = plan.defaultDuration === undefined;
  const flags = 0x1 + 0x4 + (stated ? 0x100 : 0) + (offsets === undefined ? 0 : 0x800);
  const entries = list.map((duration, place) =>
    joined(
      stated ? be(4, duration) : new Uint8Array(0),
      offsets === undefined ? new Uint8Array(0) : be(4, offsets[place % offsets.length] ?? 0),
    ),
  );
  const moof = (offset: number): Uint8Array =>
    box(
      "moof",
      full("mfhd", 0, 0, be(4, number)),
      box(
        "traf",
        full("tfhd", 0, 0x20010, be(4, 1, sampleBytes)),
        full("tfdt", 1, 0, be(8, start)),
        full("trun", 1, flags, be(4, list.length, offset, 0), ...entries),
      ),
    );
  const content = new Uint8Array(sampleBytes * list.length);
  return joined(moof(moof(0).length + 8), box("mdat", content));
}
