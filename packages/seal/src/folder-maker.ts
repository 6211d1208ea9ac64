import { lstat, mkdir, open } from "node:fs/promises";
import { codeOf, wordsOf } from "./words-of.ts";

/** What systems and file systems answer that cannot open or sync a folder (fsync(2): EINVAL, EROFS). */
const syncsNoFolders: ReadonlySet<string> = new Set([
  "EINVAL",
  "EISDIR",
  "EPERM",
  "EACCES",
  "ENOSYS",
  "ENOTSUP",
  "EROFS",
]);

/**
 * Makes the folders of a copy one by one, and goes through none that is a link: a link could lead anywhere, back onto
 * the card too. Names are bytes, which need be no UTF-8.
 */
export class FolderMaker {
  readonly #root: Buffer;
  readonly #known = new Set<string>();

  /** `root` is the folder all others lie in; it is made when it is not there, its own parent must be. */
  constructor(root: string) {
    this.#root = Buffer.from(root);
  }

  /** Makes the folders above a file and gives the file's place. Throws the system's error, or an Error for a link. */
  async placeFor(inside: Buffer): Promise<Buffer> {
    await this.#make(this.#root);
    const slash = Buffer.from("/");
    for (let end = inside.indexOf(slash); end >= 0; end = inside.indexOf(slash, end + 1)) {
      await this.#make(Buffer.concat([this.#root, slash, inside.subarray(0, end)]));
    }
    return Buffer.concat([this.#root, slash, inside]);
  }

  /**
   * Puts the folders themselves on the disk, so that the names in them stand there too. Gives those that could not be;
   * a system that syncs no folders is believed to keep them.
   */
  async sync(): Promise<readonly { readonly path: string; readonly why: string }[]> {
    const failed: { path: string; why: string }[] = [];
    for (const key of this.#known) {
      const folder = Buffer.from(key, "latin1");
      try {
        const handle = await open(folder as unknown as string, "r");
        try {
          await handle.sync();
        } finally {
          await handle.close();
        }
      } catch (error) {
        if (syncsNoFolders.has(codeOf(error))) continue;
        failed.push({ path: folder.subarray(this.#root.length + 1).toString() || ".", why: wordsOf(error) });
      }
    }
    return failed;
  }

  async #make(folder: Buffer): Promise<void> {
    const key = folder.toString("latin1");
    if (this.#known.has(key)) return;
    try {
      await mkdir(folder as unknown as string);
    } catch (error) {
      if (codeOf(error) !== "EEXIST") throw error;
      if (!(await lstat(folder)).isDirectory()) {
        throw new Error("a link or a file is there in place of a folder: nothing was put behind it", {
          cause: error,
        });
      }
    }
    this.#known.add(key);
  }
}
