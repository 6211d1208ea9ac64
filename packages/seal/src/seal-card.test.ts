import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import fs from "node:fs/promises";
import { syncBuiltinESMExports } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { partialFolder } from "./copy-card.ts";
import { checkSeal, copyCard, ManifestError, parseChecksumList, sealCard, sealFiles } from "./seal.ts";

let folder: string;
let card: string;
const { signal } = new AbortController();

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "goodgate-seal-"));
  card = join(folder, "card");
  mkdirSync(join(card, "DCIM", "100FLYER"), { recursive: true });
  writeFileSync(join(card, "DCIM", "100FLYER", "FLY_0001.MP4"), Buffer.alloc(5_000_001, 7));
  writeFileSync(join(card, "DCIM", "100FLYER", "back\\slash\nname.TXT"), "odd");
  writeFileSync(join(card, "empty.bin"), "");
  writeFileSync(Buffer.concat([Buffer.from(`${card}/bad-`), Buffer.from([0xff, 0xfe])]), "broken name");
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const writeRecord = (at: string, files: Readonly<Record<string, string | Buffer>>): void => {
  mkdirSync(at, { recursive: true });
  for (const [name, text] of Object.entries(files)) writeFileSync(join(at, name), text);
};

test("the hash of a file of known content is the published one", async () => {
  // NIST FIPS 180-4 example values: SHA-256 of "abc" and of the empty message.
  writeFileSync(join(card, "abc"), "abc");
  const seal = await sealCard(card, signal);
  const of = (path: string): string | undefined => seal.entries.find((entry) => entry.path === path)?.sha256;
  expect(of("abc")).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  expect(of("empty.bin")).toBe("e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
});

test("outside check: sha256sum -c accepts the list, odd and broken names included", async () => {
  const files = sealFiles(await sealCard(card, signal), "2031-05-14");
  writeRecord(join(folder, "record"), files);
  const says = execFileSync("sha256sum", ["-c", "--strict", join(folder, "record", "card.sha256")], {
    cwd: card,
    encoding: "latin1",
  });
  expect(says.trim().split("\n")).toHaveLength(4);
  writeFileSync(join(card, "empty.bin"), "x");
  expect(() =>
    execFileSync("sha256sum", ["-c", join(folder, "record", "card.sha256")], { cwd: card, stdio: "pipe" }),
  ).toThrow();
});

test("a bag's parts agree with RFC 8493: declaration, payload count, tag manifest", async () => {
  const files = sealFiles(await sealCard(card, signal), "2031-05-14", { "report.json": "{}" });
  expect(String(files["bagit.txt"])).toBe("BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
  expect(String(files["bag-info.txt"])).toContain("Payload-Oxum: 5000004.3\n");
  expect(String(files["manifest-sha256.txt"])).toContain("  data/DCIM/100FLYER/back\\slash%0Aname.TXT\n");
  const tags = String(files["tagmanifest-sha256.txt"]).trim().split("\n");
  expect(tags.map((line) => line.slice(66))).toEqual([
    "bag-info.txt",
    "bagit.txt",
    "card.sha256",
    "manifest-sha256.txt",
    "report.json",
  ]);
  for (const line of tags) {
    const text = files[line.slice(66)] as string | Buffer;
    expect(line.slice(0, 64)).toBe(createHash("sha256").update(text).digest("hex"));
  }
});

test("a check finds what changed, what is missing and what is extra", async () => {
  const list = parseChecksumList(sealFiles(await sealCard(card, signal), "2031-05-14")["card.sha256"] as Buffer);
  expect(await checkSeal(card, list, signal)).toMatchObject({ same: 4, changed: [], missing: [], extra: [] });
  const clip = readFileSync(join(card, "DCIM/100FLYER/FLY_0001.MP4"));
  clip[4_999_999] = 8;
  writeFileSync(join(card, "DCIM/100FLYER/FLY_0001.MP4"), clip);
  rmSync(join(card, "empty.bin"));
  writeFileSync(join(card, "new.txt"), "new");
  expect(await checkSeal(card, list, signal)).toMatchObject({
    same: 2,
    changed: ["DCIM/100FLYER/FLY_0001.MP4"],
    missing: ["empty.bin"],
    extra: ["new.txt"],
  });
});

test("links are named and never followed", async () => {
  symlinkSync("/etc/hostname", join(card, "link"));
  symlinkSync(card, join(card, "loop"));
  const seal = await sealCard(card, signal);
  expect(seal.entries).toHaveLength(4);
  expect(seal.unsealed.map((each) => each.path)).toEqual(["link", "loop"]);
});

test("a copy reads back the same at two places, keeps times, and touches nothing on the card", async () => {
  const before = statSync(join(card, "empty.bin"), { bigint: true });
  const places = ["a", "b"].map((name) => ({ destination: join(folder, name), payload: join(folder, name, "data") }));
  for (const each of places) mkdirSync(each.destination);
  const copy = await copyCard(card, places, signal);
  expect(copy.results.map(({ copied, kept, refused, failed }) => ({ copied, kept, refused, failed }))).toEqual([
    { copied: 4, kept: 0, refused: [], failed: [] },
    { copied: 4, kept: 0, refused: [], failed: [] },
  ]);
  const list = parseChecksumList(sealFiles(copy.seal, "2031-05-14")["card.sha256"] as Buffer);
  expect(await checkSeal(join(folder, "b", "data"), list, signal)).toMatchObject({
    same: 4,
    extra: [],
    missing: [],
    changed: [],
  });
  expect(Math.round(statSync(join(folder, "a/data/empty.bin")).mtimeMs / 1000)).toBe(
    Math.round(Number(before.mtimeMs) / 1000),
  );
  expect(statSync(join(card, "empty.bin"), { bigint: true }).mtimeNs).toBe(before.mtimeNs);
});

test("a second copy keeps what is there, and a different file is refused and left alone", async () => {
  const place = [{ destination: join(folder, "a"), payload: join(folder, "a", "data") }];
  await copyCard(card, place, signal);
  writeFileSync(join(folder, "a/data/empty.bin"), "somebody's work");
  rmSync(join(folder, "a/data/DCIM/100FLYER/FLY_0001.MP4"));
  mkdirSync(join(folder, "a", partialFolder));
  writeFileSync(join(folder, "a", partialFolder, "file"), "left by an interrupted run");
  const [again] = (await copyCard(card, place, signal)).results;
  expect(again).toMatchObject({ copied: 1, kept: 2, refused: ["empty.bin"], failed: [] });
  expect(readFileSync(join(folder, "a/data/empty.bin"), "utf8")).toBe("somebody's work");
  expect(readdirSync(join(folder, "a"))).toEqual(["data"]);
});

test("folders and files whose names are no UTF-8 or as long as a name may be are copied under their own bytes", async () => {
  const odd = Buffer.concat([Buffer.from(`${card}/dir-`), Buffer.from([0xff])]);
  mkdirSync(odd);
  writeFileSync(Buffer.concat([odd, Buffer.from("/x")]), "inside");
  writeFileSync(join(card, "n".repeat(255)), "long");
  const [result] = (
    await copyCard(card, [{ destination: join(folder, "a"), payload: join(folder, "a", "data") }], signal)
  ).results;
  expect(result).toMatchObject({ copied: 6, failed: [] });
  const copied = Buffer.concat([Buffer.from(`${folder}/a/data/dir-`), Buffer.from([0xff]), Buffer.from("/x")]);
  expect(readFileSync(copied, "utf8")).toBe("inside");
});

test("a list from another system is read; two hashes for one path are an error", () => {
  const line = `${"a".repeat(64)}  x`;
  expect(parseChecksumList(Buffer.from(`${line}\r\n`))).toMatchObject([{ path: "x" }]);
  expect(() => parseChecksumList(Buffer.from(`${line}\n${"b".repeat(64)}  x\n`))).toThrow(ManifestError);
});

test("a tree deeper than the bound is named, and the rest is sealed", async () => {
  mkdirSync(join(card, "d/".repeat(70)), { recursive: true });
  writeFileSync(join(card, "d/".repeat(70), "low"), "low");
  const seal = await sealCard(card, signal);
  expect(seal.unsealed.map((each) => each.why)).toEqual(["deeper than 64 folders"]);
  expect(seal.entries).toHaveLength(4);
});

test("a disk that keeps other bytes than it was given is found by reading back, and nothing gets a name", async () => {
  const original = fs.open;
  const faulty = async (...args: Parameters<typeof fs.open>): ReturnType<typeof fs.open> => {
    const handle = await original(...args);
    const write = handle.write.bind(handle) as (buffer: Uint8Array, from: number, length: number) => Promise<object>;
    const flipping = async (buffer: Uint8Array, from: number, length: number): Promise<object> => {
      const changed = Uint8Array.from(buffer);
      changed[from] = (changed[from] ?? 0) ^ 1;
      return await write(changed, from, length);
    };
    return Object.assign(handle, { write: flipping });
  };
  Object.assign(fs, { open: faulty });
  syncBuiltinESMExports();
  try {
    const place = [{ destination: join(folder, "a"), payload: join(folder, "a", "data") }];
    const [result] = (await copyCard(card, place, signal)).results;
    // The empty file is written without a byte to change.
    expect(result).toMatchObject({ copied: 1, refused: [] });
    expect(result?.failed.map(({ why }) => why)).toEqual(
      Array(3).fill("the copy does not read back as the card reads"),
    );
    expect(readdirSync(join(folder, "a", "data"))).toEqual(["DCIM", "empty.bin"]);
    expect(readdirSync(join(folder, "a", "data", "DCIM", "100FLYER"))).toEqual([]);
  } finally {
    Object.assign(fs, { open: original });
    syncBuiltinESMExports();
  }
});

test("an interrupted copy leaves no half file under a final name", async () => {
  const controller = new AbortController();
  const place = [{ destination: join(folder, "a"), payload: join(folder, "a", "data") }];
  const copying = copyCard(card, place, controller.signal, { pass: () => controller.abort() });
  await expect(copying).rejects.toThrow();
  const left = readdirSync(join(folder, "a", "data"), { recursive: true, withFileTypes: true }).filter((entry) =>
    entry.isFile(),
  );
  for (const entry of left) {
    expect(statSync(join(entry.parentPath, entry.name)).size).toBe(
      statSync(join(entry.parentPath.replace("/a/data", "/card"), entry.name)).size,
    );
  }
});

test.skipIf(process.getuid?.() === 0)("a file that cannot be read is named, and the rest is sealed", async () => {
  chmodSync(join(card, "empty.bin"), 0o000);
  const seal = await sealCard(card, signal);
  expect(seal.unsealed.map((each) => each.path)).toEqual(["empty.bin"]);
  expect(seal.entries).toHaveLength(3);
});
