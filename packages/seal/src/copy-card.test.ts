import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import fs, { type FileHandle } from "node:fs/promises";
import { syncBuiltinESMExports } from "node:module";
import { tmpdir } from "node:os";
import { basename, dirname, join, sep } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { type CardCopy, copyCard, partialFolder } from "./copy-card.ts";

const original = { ...fs };
let folder: string;
let card: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "goodgate-copy-"));
  card = join(folder, "card");
  mkdirSync(card);
});
afterEach(() => {
  Object.assign(fs, original);
  syncBuiltinESMExports();
  rmSync(folder, { recursive: true, force: true });
});

const payload = (): string => join(folder, "a", "data");
const copy = async (signal = new AbortController().signal, pass?: () => void): Promise<CardCopy> =>
  await copyCard(
    card,
    [{ destination: join(folder, "a"), payload: payload() }],
    signal,
    pass === undefined ? {} : { pass },
  );
const fill = (...names: readonly string[]): void => {
  for (const name of names) writeFileSync(join(card, name), `bytes of ${name}`);
};
const input = (): Error => Object.assign(new Error("EIO"), { code: "EIO" });

/** Puts other calls in place of the system's until the test ends. */
function replace(calls: Partial<Record<keyof typeof fs, unknown>>): void {
  Object.assign(fs, calls);
  syncBuiltinESMExports();
}

/** Lets a test change the handles that copies are written with; they are known by their place in the card's order. */
function onCopies(change: (handle: FileHandle, number: number) => Partial<FileHandle>): void {
  replace({
    open: async (...args: Parameters<typeof fs.open>): Promise<FileHandle> => {
      const handle = await original.open(...args);
      const number = /file-(\d+)$/.exec(String(args[0]))?.[1];
      const isWritten = typeof args[1] === "number" && (args[1] & fs.constants.O_CREAT) !== 0;
      return number !== undefined && isWritten ? Object.assign(handle, change(handle, Number(number))) : handle;
    },
  });
}

const until = async (isSo: () => boolean): Promise<void> => {
  while (!isSo()) await new Promise((next) => setImmediate(next));
};

/** Time for everything that is not held back to go on, on a busy machine, too. */
const aWhile = async (): Promise<void> => {
  const began = performance.now();
  for (let turn = 0; turn < 500 || performance.now() - began < 250; turn += 1) {
    await new Promise((next) => setImmediate(next));
  }
};

test("a copy whose last sync fails has failed and gets no name; the others are copied", async () => {
  fill("a", "b", "c");
  onCopies((_, number) => (number === 1 ? { sync: () => Promise.reject(input()) } : {}));
  const { results, seal } = await copy();
  expect(results[0]).toMatchObject({
    copied: 2,
    refused: [],
    failed: [{ path: "b", why: "the device gave an error" }],
  });
  expect(seal.entries.map(({ path }) => path)).toEqual(["a", "b", "c"]);
  expect(readdirSync(join(folder, "a"))).toEqual(["data"]);
  expect(readdirSync(payload())).toEqual(["a", "c"]);
});

test("a fault that an early sync told is not forgotten when the last one succeeds", async () => {
  // fsync(2): a fault of writing back is told to one call alone, so the next sync knows nothing of it.
  fill("a", "b");
  truncateSync(join(card, "a"), 260 * 1024 * 1024);
  let early = 0;
  onCopies(() => ({
    datasync: () => {
      early += 1;
      return Promise.reject(input());
    },
  }));
  const { results } = await copy();
  expect(early).toBe(1);
  expect(results[0]).toMatchObject({ copied: 1, failed: [{ path: "a", why: "the device gave an error" }] });
  expect(readdirSync(payload())).toEqual(["b"]);
});

test("no copy has its name while its sync goes on, though it was read back", async () => {
  fill("a");
  let passes = 0;
  let seen: readonly string[] | undefined;
  onCopies((handle) => {
    const sync = handle.sync.bind(handle);
    return {
      sync: async () => {
        // Once from the card, once from the copy.
        await until(() => passes >= 2);
        await aWhile();
        seen = readdirSync(payload());
        await sync();
      },
    };
  });
  const { results } = await copy(new AbortController().signal, () => {
    passes += 1;
  });
  expect(seen).toEqual([]);
  expect(results[0]).toMatchObject({ copied: 1, failed: [] });
});

test("a file that is synced long holds up neither the next files nor the order of what is told", async () => {
  const names = ["a", "b", "c", "d", "e", "f", "g", "h"];
  fill(...names);
  let begun = 0;
  let open = 0;
  let mostOpen = 0;
  onCopies((handle, number) => {
    begun += 1;
    open += 1;
    mostOpen = Math.max(mostOpen, open);
    const close = handle.close.bind(handle);
    return {
      sync: async () => {
        if (number === 0) await until(() => begun >= 3);
        if (number === 0) await aWhile();
        throw input();
      },
      close: async () => {
        open -= handle.fd < 0 ? 0 : 1;
        await close();
      },
    };
  });
  const { results, seal } = await copy();
  expect(results[0]?.failed.map(({ path }) => path)).toEqual(names);
  expect(seal.entries.map(({ path }) => path)).toEqual(names);
  // Three are synced and read back while one is written.
  expect(mostOpen).toBeLessThanOrEqual(4);
  expect(mostOpen).toBeGreaterThan(1);
});

test("an interrupt while copies are synced gives none of them a name, and leaves nothing else", async () => {
  fill("a", "b", "c", "d", "e");
  const controller = new AbortController();
  onCopies((_, number) => ({
    sync: async () => {
      if (number === 1) controller.abort();
      await until(() => controller.signal.aborted);
    },
  }));
  await expect(copy(controller.signal)).rejects.toThrow();
  expect(readdirSync(join(folder, "a"), { recursive: true })).toEqual(["data"]);
});

test("a copy that finds no room gives what it took back before the next file needs it", async () => {
  fill("a", "b");
  let left: readonly string[] | undefined;
  onCopies((_, number) => {
    if (number === 1) left = readdirSync(join(folder, "a", partialFolder));
    return number === 0
      ? { write: () => Promise.reject(Object.assign(new Error("ENOSPC"), { code: "ENOSPC" })) as never }
      : {};
  });
  const { results } = await copy();
  expect(left).toEqual(["file-1"]);
  expect(results[0]).toMatchObject({ copied: 1, failed: [{ path: "a", why: "no space left" }] });
});

test("a folder that cannot be put on the disk is told", async () => {
  fill("a");
  replace({
    open: async (...args: Parameters<typeof fs.open>): Promise<FileHandle> => {
      const handle = await original.open(...args);
      return String(args[0]) === payload() ? Object.assign(handle, { sync: () => Promise.reject(input()) }) : handle;
    },
  });
  const { results } = await copy();
  expect(results[0]?.failed).toEqual([{ path: ".", why: "the device gave an error" }]);
});

/** A place below the payload as a disk finds it that takes capitals for small letters. */
function foundAs(place: string): string {
  if (!place.startsWith(payload() + sep)) return place;
  const parent = foundAs(dirname(place));
  const name = basename(place);
  const names = existsSync(parent) ? readdirSync(parent) : [];
  return join(parent, names.find((each) => each.toLowerCase() === name.toLowerCase()) ?? name);
}

test("on a disk that takes capitals for small letters and knows no links, no file replaces another of the card", async () => {
  // The same was tried on exFAT itself, which is such a disk.
  mkdirSync(join(card, "D"));
  fill("A.TXT", "a.txt", "B.TXT", join("D", "x"), join("D", "X"));
  const at =
    (call: (...args: never[]) => unknown) =>
    (place: unknown, ...more: readonly unknown[]): unknown =>
      call(...([foundAs(String(place)), ...more] as never[]));
  replace({
    open: at(original.open as never),
    lstat: at(original.lstat as never),
    link: () => Promise.reject(Object.assign(new Error("EPERM"), { code: "EPERM" })),
    rename: async (from: Buffer, to: Buffer) => {
      await aWhile();
      await original.rename(from, foundAs(String(to)));
    },
  });
  const why =
    "another file of the card has its place there: this disk takes names for one that differ only in capitals or accents";
  const failed = [
    { path: "D/x", why },
    { path: "a.txt", why },
  ];
  expect((await copy()).results[0]).toMatchObject({ copied: 3, kept: 0, refused: [], failed });
  expect((await copy()).results[0]).toMatchObject({ copied: 0, kept: 3, refused: [], failed });
  expect(readFileSync(join(payload(), "A.TXT"), "utf8")).toBe("bytes of A.TXT");
  expect(readFileSync(join(payload(), "D", "X"), "utf8")).toBe(`bytes of ${join("D", "X")}`);
});

test("names that differ only in capitals are two files where the disk tells them apart", async () => {
  fill("a.txt");
  if (existsSync(join(card, "A.TXT"))) return;
  fill("A.TXT");
  expect((await copy()).results[0]).toMatchObject({ copied: 2, failed: [] });
  expect((await copy()).results[0]).toMatchObject({ kept: 2, failed: [] });
  expect(statSync(join(payload(), "A.TXT")).size).toBe(statSync(join(card, "A.TXT")).size);
});
