import { rate, ratio, seconds } from "@goodgate/model";
import { expect, test } from "vitest";
import { readIsoMedia } from "./isobmff.ts";
import {
  be,
  box,
  fileOf,
  full,
  hex,
  joined,
  keysBox,
  makeMovie,
  type MoviePlan,
  pictureEntry,
  plainEntry,
  soundEntry,
  text,
  type TrackPlan,
  userText,
} from "./make-movie.ts";
import { containerFactNames } from "./open-facts.ts";

const { signal } = new AbortController();
const read = async (bytes: Uint8Array) => await readIsoMedia(fileOf(bytes, "/card/clip.mp4"), signal);
const factsOf = async (plan: MoviePlan) => (await read(makeMovie(plan)))?.facts ?? {};

const sizes = (count: number): number[] => Array.from({ length: count }, (_, place) => 20 + (place % 7));
const picture: TrackPlan = { durations: [[50, 1000]], sizes: sizes(50), perChunk: 10 };
/** An `avcC` written by ffmpeg 5.1 (libx264) with colours bt709 and no timing trap. */
const avcc = box(
  "avcC",
  hex("0164000cffe1001c6764000cacd941419f9f016a020202800000030080000019078a14cb01000568ef039cb0fdf8f800"),
);

test("a plain clip gives the facts its tables hold", async () => {
  const facts = await factsOf({ tracks: [{ ...picture, sync: [1, 26] }], movieTicks: 2000 });
  expect(facts).toMatchObject({
    container: { value: "iso-bmff", origin: { kind: "container", file: "clip.mp4", reader: "goodgate" } },
    structure: { value: "whole" },
    codec: { value: "h264" },
    sampleEntry: { value: "avc1" },
    width: { value: 320 },
    height: { value: 180 },
    frames: { value: 50 },
    frameRate: { value: rate(25), origin: { place: "moov/trak[1]/mdia/minf/stbl/stts" } },
    timing: { value: { kind: "constant", timescale: 25_000, medianTicks: 1000 } },
    durationSeconds: { value: seconds(2) },
    startSeconds: { value: seconds(0) },
    mediaSeconds: { value: seconds(2) },
    headerSeconds: { value: seconds(2) },
    usableSeconds: { value: seconds(2) },
    rotationDegrees: { value: 0 },
    mirrored: { value: false },
    syncSamples: { value: { count: 2, firstFrame: 0, longestGapSeconds: 1 } },
    sound: { state: "absent" },
    timecode: { state: "absent" },
    captureRate: { state: "absent" },
    createdAt: { state: "absent" },
    profile: { state: "absent" },
  });
});

test("every fact this reader answers for is read, absent or damaged, never left out", async () => {
  for (const bytes of [makeMovie({ tracks: [picture] }), makeMovie({ tracks: [] }), box("ftyp", text("isom"))]) {
    const facts = (await read(bytes))?.facts ?? {};
    expect(containerFactNames.filter((name) => facts[name] === undefined)).toEqual([]);
  }
});

test("index in front, index behind, 64-bit sizes and several mdats say the same", async () => {
  const sound: TrackPlan = {
    handler: "soun",
    timescale: 48_000,
    entry: soundEntry("sowt", 2, 16, 48_000),
    durations: [[20, 4800]],
    sizes: sizes(20),
  };
  const layouts: Partial<MoviePlan>[] = [
    { order: "index last" },
    { order: "index first" },
    { wide: true },
    { split: true },
    { before: box("free", new Uint8Array(5000)), after: box("free", new Uint8Array(70_000)) },
  ];
  const seen = await Promise.all(
    layouts.map(async (layout) => {
      const { dataExtent, fileBytes, ...facts } = await factsOf({ tracks: [picture, sound], ...layout });
      expect(dataExtent?.state).toBe("read");
      expect(fileBytes?.state).toBe("read");
      return facts;
    }),
  );
  expect(seen[0]?.sound).toMatchObject({ value: { codec: "pcm_s16le", durationSeconds: seconds(2) } });
  for (const facts of seen) expect(facts).toEqual(seen[0]);
});

test("an mdat of size 0 reaches to the end of the file, behind an index in front", async () => {
  const bytes = makeMovie({ tracks: [picture], order: "index first" });
  const mdat = bytes.length - picture.sizes.reduce((sum, size) => sum + size, 0) - 8;
  bytes.set(be(4, 0), mdat);
  expect((await read(bytes))?.facts.structure?.state).toBe("read");
});

test("bytes read stay within 1.1 times what is needed and 64 KiB, in few calls", async () => {
  const long = { durations: [[60_000, 1000]] as const, sizes: sizes(60_000), perChunk: 25 };
  for (const order of ["index first", "index last"] as const) {
    const file = fileOf(makeMovie({ tracks: [long], order }));
    const reading = await readIsoMedia(file, signal);
    expect(reading?.facts.frames).toMatchObject({ value: 60_000 });
    expect(file.cost.bytes).toBeLessThanOrEqual(1.1 * (reading?.neededBytes ?? 0) + 65_536);
    expect(file.cost.calls).toBeLessThanOrEqual(3);
  }
  const small = fileOf(makeMovie({ tracks: [{ ...picture, sizes: sizes(50).map((size) => size * 1000) }] }));
  await readIsoMedia(small, signal);
  expect(small.cost.calls).toBe(2);
});

test("many stretches of picture data cost a small read each", async () => {
  const stretch: TrackPlan = { durations: [[10, 1000]], sizes: Array.from({ length: 10 }, () => 20_000) };
  const file = fileOf(makeMovie({ tracks: Array.from({ length: 20 }, () => stretch), split: true }));
  const reading = await readIsoMedia(file, signal);
  expect(reading?.facts.structure).toMatchObject({ value: "whole" });
  expect(file.cost.bytes).toBeLessThanOrEqual(1.1 * (reading?.neededBytes ?? 0) + 65_536);
});

test("a trailing duration that closers write for the last frame does not set the rate", async () => {
  const facts = await factsOf({
    tracks: [
      {
        ...picture,
        durations: [
          [49, 1000],
          [1, 21],
        ],
      },
    ],
  });
  expect(facts).toMatchObject({ frameRate: { value: rate(25) }, timing: { value: { kind: "constant" } } });
});

test("a delay and a trim in the edit list move the start", async () => {
  const facts = await factsOf({
    tracks: [
      {
        ...picture,
        edits: [
          [400, -1, 65_536],
          [2000, 0, 65_536],
        ],
      },
    ],
  });
  expect(facts).toMatchObject({
    startSeconds: { value: ratio(2, 5) },
    durationSeconds: { value: seconds(2) },
    editList: { value: [{ durationSeconds: ratio(2, 5), speed: ratio(1) }, { mediaSeconds: ratio(0) }] },
  });
});

test.each([
  [be(4, 0, 0x10000, 0, -0x10000, 0, 0, 0, 0, 0x40000000), 90, false],
  [be(4, -0x10000, 0, 0, 0, -0x10000, 0, 0, 0, 0x40000000), 180, false],
  [be(4, 0, -0x10000, 0, 0x10000, 0, 0, 0, 0, 0x40000000), 270, false],
  [be(4, -0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000), 0, true],
  [be(4, 0x10000, 0, 0, 0, -0x10000, 0, 0, 0, 0x40000000), 180, true],
])("the track matrix tells the clockwise turn (ISO/IEC 14496-12, section 8.3.2)", async (matrix, turn, mirrored) => {
  const facts = await factsOf({ tracks: [{ ...picture, matrix }] });
  expect(facts).toMatchObject({ rotationDegrees: { value: turn }, mirrored: { value: mirrored } });
});

test("a matrix of zeros is damage", async () => {
  expect((await factsOf({ tracks: [{ ...picture, matrix: new Uint8Array(36) }] })).rotationDegrees?.state).toBe(
    "damaged",
  );
});

const entryFacts = async (...boxes: readonly Uint8Array[]) =>
  await factsOf({ tracks: [{ ...picture, entry: pictureEntry("avc1", 320, 180, ...boxes) }] });

test("colr goes before the codec's own words, which become a witness that contradicts", async () => {
  const facts = await entryFacts(avcc, box("colr", text("nclx"), be(2, 9, 18, 9), be(1, 0)));
  expect(facts).toMatchObject({
    primaries: { value: "bt2020", witnesses: [{ value: "bt709", agrees: false }] },
    transfer: { value: "arib-std-b67", witnesses: [{ agrees: false }] },
    matrix: { value: "bt2020nc", witnesses: [{ agrees: false }] },
    fullRange: { value: false },
  });
});

test("the QuickTime form has no range; unspecified is absent; undefined codes are damage", async () => {
  expect(await entryFacts(box("colr", text("nclc"), be(2, 1, 16, 1)))).toMatchObject({
    primaries: { value: "bt709" },
    transfer: { value: "smpte2084" },
    fullRange: { state: "absent" },
  });
  expect(await entryFacts(box("colr", text("nclx"), be(2, 2, 2, 2), be(1, 128)))).toMatchObject({
    primaries: { state: "absent" },
    fullRange: { value: true },
  });
  expect((await entryFacts(box("colr", text("nclx"), be(2, 99, 1, 1), be(1, 0)))).primaries?.state).toBe("damaged");
  expect((await entryFacts(box("colr", text("prof"), new Uint8Array(40)))).primaries?.state).toBe("absent");
});

test("pixel aspect, clean aperture, fields and light levels come from their boxes", async () => {
  const facts = await entryFacts(
    box("pasp", be(4, 4, 3)),
    box("clap", be(4, 300, 1, 160, 1, 0, 1, 0, 1)),
    box("fiel", be(1, 2, 9)),
    box("mdcv", be(2, 0, 0, 0, 0, 0, 0, 0, 0), be(4, 10_000_000, 50)),
    box("clli", be(2, 800, 200)),
  );
  expect(facts).toMatchObject({
    pixelAspect: { value: ratio(4, 3) },
    cleanAperture: { value: { width: ratio(300), height: ratio(160) } },
    scan: { value: "bottom field first" },
    mastering: {
      value: { maximumNits: 1000, minimumNits: 0.005, maximumContentNits: 800, maximumFrameAverageNits: 200 },
    },
  });
});

test("a pixel aspect over zero, an aperture outside the picture and undefined fields are damage", async () => {
  const facts = await entryFacts(
    box("pasp", be(4, 4, 0)),
    box("clap", be(4, 3000, 1, 160, 1, 0, 1, 0, 1)),
    box("fiel", be(1, 7, 7)),
  );
  expect([facts.pixelAspect?.state, facts.cleanAperture?.state, facts.scan?.state]).toEqual([
    "damaged",
    "damaged",
    "damaged",
  ]);
});

test("a codec record that breaks its lengths is damage for what it would have said", async () => {
  const facts = await entryFacts(box("avcC", hex("0164000cffe1ffff67")));
  expect(facts.bitDepth).toMatchObject({ state: "damaged" });
  expect(facts.codec).toMatchObject({ value: "h264" });
  expect(facts.frameRate).toMatchObject({ value: rate(25) });
});

test("an entry without parameter sets asks the first sample", async () => {
  const sps = hex("6764000cacd941419f9f016a020202800000030080000019078a14cb");
  const first = joined(be(4, sps.length), sps, new Uint8Array(20));
  const contents = [first, ...Array.from({ length: 9 }, () => new Uint8Array(10))];
  const facts = await factsOf({
    tracks: [
      {
        durations: [[10, 1000]],
        sizes: contents.map(({ length }) => length),
        contents,
        entry: pictureEntry("avc3", 320, 180, box("avcC", hex("0164000cffe000"))),
      },
    ],
  });
  expect(facts).toMatchObject({
    bitDepth: { value: 8, origin: { place: "first sample" } },
    codecRate: { value: rate(25) },
  });
});

test("a timecode track is read with its one sample", async () => {
  const timecode: TrackPlan = {
    handler: "tmcd",
    timescale: 30_000,
    entry: plainEntry("tmcd", be(4, 0, 1, 30_000, 1001), be(1, 30, 0)),
    durations: [[1, 60_000]],
    sizes: [4],
    contents: [be(4, 111_582)],
  };
  const facts = await factsOf({ tracks: [{ ...picture, references: { tmcd: 2 } }, timecode] });
  expect(facts.timecode).toMatchObject({ value: { start: "01:02:03;04", dropFrame: true } });
});

test("sound tells its start against the first shown picture", async () => {
  const sound: TrackPlan = {
    handler: "soun",
    timescale: 48_000,
    entry: soundEntry("sowt", 1, 16, 48_000),
    durations: [[10, 9600]],
    sizes: sizes(10),
    edits: [
      [300, -1, 65_536],
      [2000, 0, 65_536],
    ],
  };
  const facts = await factsOf({
    tracks: [
      {
        ...picture,
        edits: [
          [100, -1, 65_536],
          [2000, 0, 65_536],
        ],
      },
      sound,
    ],
  });
  expect(facts.sound).toMatchObject({ value: { channels: 1, sampleRateHertz: 48_000, startSeconds: ratio(1, 5) } });
});

test("keys and user data give capture rate, clock, place and the camera's own names", async () => {
  const facts = await factsOf({
    tracks: [picture],
    more: joined(
      keysBox({
        "com.example.capture.fps": 100,
        "com.example.creationdate": "2031-04-05T08:07:08+0200",
        "com.example.make": "Maker",
      }),
      box("udta", userText("©xyz", "+12.3456-045.6789/")),
    ),
  });
  expect(facts).toMatchObject({
    captureRate: { value: rate(100) },
    createdAt: { value: { zone: "offset" } },
    location: { value: { latitudeDegrees: 12.3456 } },
    cameraMaker: { value: "Maker" },
    metadata: { value: { "©xyz": "+12.3456-045.6789/", "com.example.make": "Maker" } },
  });
});

test("text and data tracks are listed, chapters named as such", async () => {
  const words: TrackPlan = { handler: "text", entry: plainEntry("text"), durations: [[2, 1000]], sizes: [5, 6] };
  const records: TrackPlan = {
    handler: "meta",
    entry: plainEntry("mett", text("a/b\0")),
    durations: [[3, 1000]],
    sizes: [1, 2, 3],
  };
  const reading = await read(makeMovie({ tracks: [{ ...picture, references: { chap: 2 } }, words, records] }));
  expect(reading?.facts).toMatchObject({
    textTracks: { value: [{ id: 2, entry: "text", samples: 2, holds: "chapters" }] },
    dataTracks: { value: [{ id: 3, entry: "mett", handler: "meta", samples: 3, holds: "unknown vocabulary" }] },
  });
  expect(reading?.extraTracks.map(({ id, isChapterList, totalBytes }) => [id, isChapterList, totalBytes])).toEqual([
    [2, true, 11],
    [3, false, 6],
  ]);
});

test("an XMP packet in its own box is handed over raw", async () => {
  const key = hex("be7acfcb97a942e89c71999491e3afac");
  const reading = await read(makeMovie({ tracks: [picture], after: box("uuid", key, text("<xmp/>")) }));
  expect(reading?.xmp).toEqual(text("<xmp/>"));
  const other = await read(makeMovie({ tracks: [picture], after: box("uuid", new Uint8Array(16), text("<xmp/>")) }));
  expect(other?.xmp).toBeUndefined();
});

test("of two picture tracks the moving one counts, not the thumbnail in front of it", async () => {
  const thumbnail: TrackPlan = { entry: pictureEntry("jpeg", 4000, 3000), durations: [[1, 1]], sizes: [9] };
  expect(await factsOf({ tracks: [thumbnail, picture] })).toMatchObject({
    codec: { value: "h264" },
    frames: { value: 50 },
  });
});

test("a movie without pictures is beyond this reader, and says so", async () => {
  const sound: TrackPlan = {
    handler: "soun",
    entry: soundEntry("sowt", 1, 16, 48_000),
    durations: [[2, 1]],
    sizes: [1, 2],
  };
  const reading = await read(makeMovie({ tracks: [sound] }));
  expect(reading?.beyond).toContain("no picture track");
  expect(reading?.facts.frames).toEqual({ state: "absent", why: "the file has no picture track" });
});

test("an unknown codec is named and everything else is still read", async () => {
  const facts = await factsOf({ tracks: [{ ...picture, entry: pictureEntry("zzzz", 320, 180) }] });
  expect(facts).toMatchObject({ codec: { state: "absent" }, sampleEntry: { value: "zzzz" }, frames: { value: 50 } });
});

test("files of another kind, empty files and still pictures are nobody's movie", async () => {
  const heif = joined(
    box("ftyp", text("heic"), be(4, 0)),
    full("meta", 0, 0, new Uint8Array(40)),
    box("mdat", be(4, 1)),
  );
  for (const bytes of [
    new Uint8Array(0),
    hex("000516070002"),
    hex("ffd8ffe000104a464946"),
    new Uint8Array(4096),
    heif,
  ]) {
    expect(await read(bytes)).toBeUndefined();
  }
});

test("reading stops at once when the run is cancelled", async () => {
  const cancelled = AbortSignal.abort();
  await expect(readIsoMedia(fileOf(makeMovie({ tracks: [picture] })), cancelled)).rejects.toThrow("aborted");
});

test("a read error of the system is passed on", async () => {
  const file = { ...fileOf(makeMovie({ tracks: [picture] })), read: () => Promise.reject(new Error("EIO")) };
  await expect(readIsoMedia(file, signal)).rejects.toThrow("EIO");
});

test("AV1: a stand-in for the sequence header in the record gives way to the one in the first sample", async () => {
  // 160 by 90 in the sample as ffmpeg 5.1 wrote it; the record states 1920 by 1080, by ffprobe as well.
  const av1c = box("av1C", hex("81080c000a0b00000042abbfc377ffe601"));
  const sample = hex("12000a0a00000003b4fd936be401");
  const facts = await factsOf({
    tracks: [
      {
        durations: [[2, 1000]],
        sizes: [sample.length, sample.length],
        contents: [sample, sample],
        entry: pictureEntry("av01", 160, 90, av1c),
      },
    ],
  });
  expect(facts).toMatchObject({
    width: { value: 160 },
    height: { value: 90 },
    bitDepth: { value: 8, origin: { place: "first sample" } },
  });
});

test("a clock that makes a million pictures a second is damage, not a rate and not a length", async () => {
  const facts = await factsOf({ tracks: [{ ...picture, durations: [[50, 1]], timescale: 1_000_000 }] });
  const damage = { state: "damaged", why: expect.stringContaining("1000000 pictures a second") };
  expect(facts).toMatchObject({ frames: { value: 50 }, frameRate: damage, durationSeconds: damage });
  // Pictures in pairs a millionth of a second apart: no rate, but the length holds.
  const pairs = Array.from({ length: 50 }, (_, place) => [1, place % 2 === 0 ? 1 : 79_999] as const);
  const packed = await factsOf({ tracks: [{ ...picture, durations: pairs, timescale: 1_000_000 }] });
  expect(packed).toMatchObject({ frameRate: damage, durationSeconds: { value: seconds(2) } });
});

test("a sound track without samples is there and broken, not absent", async () => {
  const sound: TrackPlan = {
    handler: "soun",
    entry: soundEntry("sowt", 2, 16, 48_000),
    durations: [],
    sizes: [],
    timescale: 48_000,
  };
  const facts = await factsOf({ tracks: [picture, sound] });
  expect(facts.sound).toMatchObject({ state: "damaged", why: "the sound track holds no samples" });
});
