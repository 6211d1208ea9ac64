import { closeSync, constants, fstatSync, openSync, readSync, type Stats } from "node:fs";
import { type FileHandle, open, statfs } from "node:fs/promises";
import { performance } from "node:perf_hooks";
import { setImmediate } from "node:timers/promises";

/** An open file, whichever way the system is asked. Every call throws the system's error. */
export interface Descriptor {
  stat(): Stats | Promise<Stats>;
  /** Bytes that were read into `buffer` from `offset`; 0 at the end of the file. */
  read(buffer: Buffer, offset: number, length: number, position: number): number | Promise<number>;
  close(): void | Promise<void>;
}

const readOnly = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);
const quiet = readOnly | (constants.O_NOATIME ?? 0);

/** Only a file's owner may ask for O_NOATIME (open(2)); some file systems do not know it. */
function refusesQuiet(error: unknown): boolean {
  const code = (error as { readonly code?: unknown }).code;
  return quiet !== readOnly && (code === "EPERM" || code === "EINVAL");
}

/**
 * Opens a file for reading alone and, where the system lets us, without leaving a time of last access: that would be a
 * write to the card. O_NONBLOCK keeps a pipe or a device node from hanging the open. Throws the system's error.
 */
async function openQuietly(path: string): Promise<FileHandle> {
  try {
    return await open(path, quiet);
  } catch (error) {
    if (!refusesQuiet(error)) throw error;
    return await open(path, readOnly);
  }
}

function openAtOnce(path: string): number {
  try {
    return openSync(path, quiet);
  } catch (error) {
    if (!refusesQuiet(error)) throw error;
    return openSync(path, readOnly);
  }
}

/**
 * How the medium has answered this process. While it is quick (a disk, what the system still holds in memory) it is
 * asked at once: handing each call to another thread and back takes longer than the call. From the first long wait on,
 * or once calls take long on average, it is asked in the background for good: then clips wait side by side, and an
 * interrupt is heard while a card is silent.
 */
export const pace = { quick: true, calls: 0, milliseconds: 0 };

/** Copying bytes out of the system's memory is no waiting: at most this many are copied in a millisecond. */
const bytesCopied = 1_000_000;
const longWaitMilliseconds = 50;
const longMeanMilliseconds = 3;
/** Calls looked at before their mean counts. */
const callsLookedAt = 12;

/** Counts one call that was asked at once. */
export function noteCall(milliseconds: number, bytes: number): void {
  const waited = Math.max(0, milliseconds - bytes / bytesCopied);
  pace.calls += 1;
  pace.milliseconds += waited;
  const longOnAverage = pace.calls >= callsLookedAt && pace.milliseconds / pace.calls > longMeanMilliseconds;
  if (waited > longWaitMilliseconds || longOnAverage) pace.quick = false;
}

/**
 * File systems that another machine or another program answers for, which may fall silent for minutes: FUSE, NFS, SMB,
 * CIFS, 9P, Ceph, AFS (Linux, statfs(2) and linux/magic.h). Elsewhere the numbers differ, and the pace alone tells.
 */
const remoteFileSystems: ReadonlySet<number> = new Set([
  0x65735546, 0x6969, 0xfe534d42, 0xff534d42, 0x517b, 0x01021997, 0x00c36400, 0x5346414f,
]);

/** Whether a file system of this kind is asked in the background from the first call on. */
export const isRemote = (type: number): boolean => remoteFileSystems.has(type >>> 0);

/** Takes the pace for what lies under the paths, before anything is opened. What cannot be asked keeps its pace. */
export async function suitPace(paths: readonly string[]): Promise<void> {
  for (const path of paths) {
    const type = await statfs(path).then(
      (status) => status.type,
      () => 0,
    );
    if (isRemote(type)) pace.quick = false;
  }
}

/** Signals are heard and progress is shown at least this often, however many reads a clip takes. */
const turnMilliseconds = 50;
let turned = 0;

async function takeTurn(): Promise<void> {
  await setImmediate();
  turned = performance.now();
}

/** Opens a file as `openQuietly` does, to be asked in the way that suits the medium. Throws the system's error. */
export async function openDescriptor(path: string): Promise<Descriptor> {
  if (pace.quick) await takeTurn();
  // Another file may have waited meanwhile.
  return pace.quick ? atOnce(openAtOnce(path)) : inBackground(await openQuietly(path));
}

function inBackground(handle: FileHandle): Descriptor {
  return {
    stat: () => handle.stat(),
    read: async (buffer, offset, length, position) => (await handle.read(buffer, offset, length, position)).bytesRead,
    close: () => handle.close(),
  };
}

function atOnce(file: number): Descriptor {
  let open = true;
  // A number that was closed may already be another file's.
  const own = (): number => {
    if (!open) throw Object.assign(new Error("the file is closed"), { code: "EBADF" });
    return file;
  };
  const read: Descriptor["read"] = (buffer, offset, length, position) => {
    const began = performance.now();
    const bytes = readSync(own(), buffer, offset, length, position);
    noteCall(performance.now() - began, bytes);
    return bytes;
  };
  return {
    stat: () => fstatSync(own()),
    read: (buffer, offset, length, position) =>
      performance.now() - turned > turnMilliseconds
        ? takeTurn().then(() => read(buffer, offset, length, position))
        : read(buffer, offset, length, position),
    close() {
      if (open) closeSync(file);
      open = false;
    },
  };
}
