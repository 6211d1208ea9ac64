import { lstat, mkdir } from "node:fs/promises";

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

  async #make(folder: Buffer): Promise<void> {
    const key = folder.toString("latin1");
    if (this.#known.has(key)) return;
    try {
      await mkdir(folder as unknown as string);
    } catch (error) {
      if ((error as { readonly code?: unknown }).code !== "EEXIST") throw error;
      if (!(await lstat(folder)).isDirectory()) {
        throw new Error("a link or a file is there in place of a folder: nothing was put behind it", {
          cause: error,
        });
      }
    }
    this.#known.add(key);
  }
}
