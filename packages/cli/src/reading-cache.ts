import { createHash } from "node:crypto";
import { readdir, rm, stat, utimes } from "node:fs/promises";
import { homedir } from "node:os";
import { join, resolve } from "node:path";
import type { FoundClip, FoundStill } from "@goodgate/model";
import { type Journal, journalName, openJournal } from "./journal.ts";
import { makeOutputFolder } from "./output-folder.ts";

/** First bytes of every file that are compared: type, first headers and the start of the first picture. */
const frontBytes = 4096;
/** Largest cache of one card: some thousand clips with telemetry for every frame. A larger one starts anew. */
const mostCardBytes = 128 * 1024 * 1024;
/** All cards together; those not read for longest go first. */
const mostBytes = 512 * 1024 * 1024;

/** The folder a program may keep things in that can be made again, by the customs of the system. */
export function cacheFolder(env: NodeJS.ProcessEnv, platform: NodeJS.Platform): string {
  const asked = env["GOODGATE_CACHE"];
  if (asked !== undefined && asked !== "") return asked;
  const home = homedir();
  if (platform === "win32") return join(env["LOCALAPPDATA"] ?? join(home, "AppData", "Local"), "goodgate", "Cache");
  if (platform === "darwin") return join(home, "Library", "Caches", "goodgate");
  const base = env["XDG_CACHE_HOME"];
  // The XDG Base Directory Specification has relative paths ignored.
  return join(base?.startsWith("/") === true ? base : join(home, ".cache"), "goodgate");
}

/**
 * Opens what earlier audits read of the same folders, for an audit that begins. A reading counts only when every file
 * of the clip has the name, size, times of last write and of last change, and first bytes it had then, and the same
 * readers would read it. With `fresh` it starts empty. Undefined when there is no place for it outside the cards: an
 * audit never fails for want of a cache.
 */
export async function openCache(
  cards: readonly string[],
  fresh: boolean,
  readers: string,
  folder = cacheFolder(process.env, process.platform),
): Promise<Journal | undefined> {
  const cardsFolder = join(folder, "cards");
  const name = createHash("sha256")
    .update(JSON.stringify(cards.map((card) => resolve(card)).sort()))
    .digest("hex")
    .slice(0, 32);
  const own = join(cardsFolder, name);
  let journal: Journal;
  try {
    await makeOutputFolder(own, cards);
    if ((await bytesOf(own)) > mostCardBytes) await rm(join(own, journalName), { force: true });
    journal = await openJournal(own, !fresh, readers);
  } catch {
    return undefined;
  }
  return {
    empty: journal.empty,
    async clip(found) {
      if (journal.empty) return undefined;
      const known = await withFronts(found);
      return known === undefined ? undefined : await journal.clip(known);
    },
    async still(found) {
      if (journal.empty) return undefined;
      const known = await withFronts(found);
      return known === undefined ? undefined : await journal.still(known);
    },
    async keep(found, kept) {
      const known = await withFronts(found);
      if (known !== undefined) await journal.keep(known, kept);
    },
    finish: () => journal.finish(),
    async leave() {
      // What is lost of a cache is read again.
      await journal.leave(false);
      await tidy(cardsFolder, name).catch(() => undefined);
    },
  };
}

/** The same clip, its name continued by what its files are like now; undefined when one cannot be looked at. */
async function withFronts<Found extends FoundClip | FoundStill>(found: Found): Promise<Found | undefined> {
  const { openDescriptor } = await import("@goodgate/probe");
  const digest = createHash("sha256");
  const buffer = Buffer.allocUnsafe(frontBytes);
  try {
    for (const file of found.files) {
      const opened = await openDescriptor(join(found.root, file.path));
      try {
        const { size, mtimeMs, ctimeMs } = await opened.stat();
        const bytesRead = await opened.read(buffer, 0, frontBytes, 0);
        digest.update(JSON.stringify([file.path, size, mtimeMs, ctimeMs, bytesRead]));
        digest.update(buffer.subarray(0, bytesRead));
      } finally {
        await opened.close();
      }
    }
  } catch {
    return undefined;
  }
  return { ...found, name: `${found.name}\n${digest.digest("hex")}` };
}

const bytesOf = async (card: string): Promise<number> =>
  await stat(join(card, journalName)).then(
    ({ size }) => size,
    () => 0,
  );

/** Marks the card as read now, and drops those read longest ago while all together are too large. */
async function tidy(folder: string, name: string): Promise<void> {
  const now = new Date();
  await utimes(join(folder, name), now, now);
  const cards = await Promise.all(
    (await readdir(folder)).map(async (card) => {
      const path = join(folder, card);
      return { path, bytes: await bytesOf(path), used: (await stat(path)).mtimeMs };
    }),
  );
  let bytes = cards.reduce((sum, card) => sum + card.bytes, 0);
  for (const card of cards.sort((a, b) => a.used - b.used)) {
    if (bytes <= mostBytes) return;
    await rm(card.path, { recursive: true, force: true });
    bytes -= card.bytes;
  }
}
