import { ratio } from "@goodgate/model";
import { expect, test } from "vitest";
import { bytesAt, childBox, code } from "./boxes.ts";
import { readIsoMedia } from "./isobmff.ts";
import { makeFragments } from "./make-fragments.ts";
import {
  be,
  box,
  fileOf,
  hex,
  joined,
  keysBox,
  makeMovie,
  pictureEntry,
  plainEntry,
  soundEntry,
  text,
  userText,
} from "./make-movie.ts";

const { signal } = new AbortController();
const read = async (bytes: Uint8Array) => await readIsoMedia(fileOf(bytes), signal);

const avcc = hex("0164000cffe1001c6764000cacd941419f9f016a020202800000030080000019078a14cb01000568ef039cb0fdf8f800");
const picture = {
  durations: [[19, 1000]] as const,
  offsets: Array.from(
    { length: 19 },
    (_, place) => [1, place === 0 ? 1000 : ([3000, 0, 0][(place - 1) % 3] ?? 0)] as const,
  ),
  sizes: Array.from({ length: 19 }, (_, place) => 10 + place),
  perChunk: 5,
  sync: [1, 11],
  edits: [[800, 1000, 65_536]] as const,
  entry: pictureEntry("avc1", 320, 180, box("avcC", avcc), box("colr", text("nclx"), be(2, 9, 16, 9), be(1, 0))),
};
const whole = makeMovie({
  tracks: [
    picture,
    { handler: "soun", entry: soundEntry("sowt", 2, 16, 48_000), durations: [[5, 1920]], sizes: [9, 9, 9, 9, 9] },
    { handler: "meta", entry: plainEntry("mett", text("a\0")), durations: [[2, 400]], sizes: [3, 4] },
    {
      handler: "tmcd",
      entry: plainEntry("tmcd", be(4, 0, 0, 25, 1), be(1, 25, 0)),
      durations: [[1, 20]],
      sizes: [4],
      contents: [be(4, 90_000)],
    },
  ],
  clock: 4_000_000_000,
  more: joined(keysBox({ "com.example.capture.fps": 50 }), box("udta", userText("©xyz", "+12.3-045.6/"))),
});
const fragmented = makeFragments({
  timescale: 25,
  durations: [
    [1, 1, 1, 1],
    [1, 1, 1, 1],
  ],
  offsets: [1, 3, 0, 0],
  sampleBytes: 5,
  index: true,
});

/** Reads a file and all its extra samples; gives the facts. */
async function readAll(bytes: Uint8Array) {
  const file = fileOf(bytes);
  const reading = await readIsoMedia(file, signal);
  for (const track of reading?.extraTracks ?? []) await track.read();
  return { facts: reading?.facts, cost: file.cost };
}

const noBadNumbers = (value: unknown): boolean =>
  typeof value === "number"
    ? Number.isFinite(value)
    : typeof value === "object" && value !== null
      ? Object.values(value).every(noBadNumbers)
      : value !== "";

test("the file that is damaged below is whole to begin with", async () => {
  expect((await readAll(whole)).facts).toMatchObject({
    structure: { state: "read" },
    timing: { value: { kind: "constant" } },
    timecode: { value: { start: "01:00:00:00" } },
  });
  expect((await readAll(fragmented)).facts?.structure?.state).toBe("read");
});

test("every truncation is damaged or no movie at all, and never reads as whole", async () => {
  for (const bytes of [whole, fragmented]) {
    for (let length = 0; length < bytes.length; length += 1) {
      const { facts } = await readAll(bytes.slice(0, length));
      if (facts === undefined) expect(length).toBeLessThan(8);
      else expect([length, facts.structure?.state]).toEqual([length, "damaged"]);
    }
  }
});

test("2,400 seeded damaged bytes: no exception, no bad number, no long read", async () => {
  let seed = 20_310_405;
  const random = (below: number): number => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return Math.floor((seed / 2 ** 32) * below);
  };
  const began = process.cpuUsage();
  for (let round = 0; round < 2400; round += 1) {
    const bytes = (round % 3 === 0 ? fragmented : whole).slice();
    for (let flip = 0; flip <= round % 3; flip += 1) {
      const at = random(bytes.length);
      bytes[at] = round % 2 === 0 ? random(256) : (bytes[at] ?? 0) ^ (1 << random(8));
    }
    const { facts, cost } = await readAll(bytes);
    for (const [name, fact] of Object.entries(facts ?? {})) {
      expect([round, name, fact, noBadNumbers(fact)]).toEqual([round, name, fact, true]);
    }
    expect(cost.bytes).toBeLessThan(1_000_000);
  }
  // Bounds hold a damaged count to a tenth of a second; the average file here takes well under a millisecond.
  expect(processorMilliseconds(began)).toBeLessThan(30_000);
});

test("a recording never closed tells the size of its picture data and what a repair needs", async () => {
  const mdat = joined(be(4, 0), text("mdat"), new Uint8Array(5000));
  const facts = (await read(joined(box("ftyp", text("isom"), be(4, 0)), mdat)))?.facts ?? {};
  expect(facts.structure).toMatchObject({ state: "damaged" });
  const why = facts.structure?.state === "damaged" ? facts.structure.why : "";
  expect(why).toContain("recording never closed: 5000 bytes of picture data");
  expect(why).toContain("repair");
  expect(facts.frames).toEqual({ state: "absent", why: "the file has no index that can be read" });
  expect(facts.fileBytes).toMatchObject({ value: 5024 });
});

test("an mdat left at its first size, with picture data behind it, is the same", async () => {
  const open = joined(box("ftyp", text("isom"), be(4, 0)), box("mdat"), hex("0000ffff65888400"), new Uint8Array(900));
  expect((await read(open))?.facts.structure).toMatchObject({ state: "damaged" });
  const why = (await read(open))?.facts.structure;
  expect(why?.state === "damaged" && why.why).toContain("never closed");
});

test("an index in front of cut data says how many seconds lie inside the file", async () => {
  const bytes = makeMovie({
    tracks: [{ durations: [[100, 1000]], sizes: Array.from({ length: 100 }, () => 50), perChunk: 25 }],
    order: "index first",
  });
  const facts = (await read(bytes.slice(0, bytes.length - 2025)))?.facts ?? {};
  expect(facts.structure).toMatchObject({ state: "damaged" });
  expect(facts.structure?.state === "damaged" && facts.structure.why).toContain("2.36 s lie inside it");
  expect(facts.usableSeconds).toMatchObject({ value: ratio(59, 25) });
  expect(facts.frames).toMatchObject({ value: 100 });
});

/** Overwrites the bytes of a field, found by the path of its box. */
function patched(path: readonly string[], skip: number, value: Uint8Array): Uint8Array {
  const bytes = whole.slice();
  let from = 0;
  let to = bytes.length;
  for (const name of path) {
    const found = childBox(bytesAt(bytes, 0), from, to, code(name));
    if (found === undefined) throw new Error(`no ${name}`);
    from = found.body;
    to = found.end;
  }
  bytes.set(value, from + skip);
  return bytes;
}
const stbl = ["moov", "trak", "mdia", "minf", "stbl"] as const;
const huge = be(4, 0xffffffff);

test.each([
  ["durations", [...stbl, "stts"], 4, "frameRate"],
  ["sizes", [...stbl, "stsz"], 8, "frames"],
  ["chunks", [...stbl, "stco"], 4, "dataExtent"],
  ["chunk runs", [...stbl, "stsc"], 4, "frames"],
] as const)("a count of four thousand million %s is damage with its byte", async (_, path, skip, fact) => {
  const bytes = patched(path, skip, huge);
  const facts = (await read(bytes))?.facts ?? {};
  expect(facts[fact]).toMatchObject({ state: "damaged" });
  const structure = facts.structure;
  expect(structure?.state === "damaged" && structure.why).toMatch(/4294967295 .* at byte \d+/);
});

test("a clock of zero ticks a second is damage, not a division", async () => {
  expect((await read(patched(["moov", "trak", "mdia", "mdhd"], 12, be(4, 0))))?.facts).toMatchObject({
    structure: { state: "damaged" },
    frameRate: { state: "damaged" },
    durationSeconds: { state: "damaged" },
  });
  expect((await read(patched(["moov", "mvhd"], 12, be(4, 0))))?.facts).toMatchObject({
    headerSeconds: { state: "damaged" },
  });
});

test("tables that count different samples are damage", async () => {
  const facts = (await read(patched([...stbl, "stts"], 8, be(4, 21))))?.facts;
  expect(facts).toMatchObject({ frames: { state: "damaged" }, structure: { state: "damaged" } });
});

test("a chunk placed past the end of the file is damage even when the rest would play", async () => {
  const facts = (await read(patched([...stbl, "stco"], 20, be(4, 0x7fffffff))))?.facts;
  expect(facts).toMatchObject({ structure: { state: "damaged" }, usableSeconds: { value: ratio(3, 5) } });
});

test("a media header that says another length is a witness against the rate", async () => {
  const facts = (await read(patched(["moov", "trak", "mdia", "mdhd"], 16, be(4, 40_000))))?.facts;
  expect(facts?.frameRate).toMatchObject({ witnesses: [{ agrees: false, value: ratio(19 * 25_000, 40_000) }] });
  expect(facts?.mediaSeconds).toMatchObject({ witnesses: [{ agrees: false }] });
});

test("sync samples that fall, or none at all, are damage of that fact", async () => {
  expect((await read(patched([...stbl, "stss"], 8, be(4, 12))))?.facts.syncSamples?.state).toBe("damaged");
  expect((await read(patched([...stbl, "stss"], 12, be(4, 99))))?.facts.syncSamples?.state).toBe("damaged");
});

test("an index larger than the bound is refused unread", async () => {
  const size = 65 * 1024 * 1024;
  const head = joined(box("ftyp", text("isom"), be(4, 0)), be(4, size), text("moov"));
  const sparse = fileOf(head);
  const file = { ...sparse, size: head.length + size };
  const reading = await readIsoMedia(file, signal);
  expect(reading?.facts.structure).toMatchObject({ state: "damaged" });
  expect(file.cost.bytes).toBeLessThan(100_000);
});

test("a hundred thousand empty boxes end at the bound", async () => {
  const boxes = joined(box("ftyp", text("isom"), be(4, 0)), ...Array.from({ length: 100_100 }, () => box("free")));
  const began = process.cpuUsage();
  const facts = (await read(boxes))?.facts ?? {};
  expect(facts.structure).toMatchObject({ state: "damaged" });
  expect(processorMilliseconds(began)).toBeLessThan(5000);
});

/** Processor time since `began`: a loaded machine does not make it longer. */
function processorMilliseconds(began: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(began);
  return (user + system) / 1000;
}
