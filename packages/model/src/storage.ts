/** Largest file of a FAT32 card: 2^32 − 1 bytes. Cameras split recordings a little earlier. */
export const fat32LargestFileBytes = 4_294_967_295;

/** Largest file of a FAT16 card: 2^31 − 1 bytes; some systems allow more. */
export const fat16LargestFileBytes = 2_147_483_647;

/** Seconds of recording that fit into `bytes` at a rate in megabits (10^6) per second. */
export const recordingSeconds = (bytes: number, megabitsPerSecond: number): number =>
  (bytes * 8) / (megabitsPerSecond * 1e6);

/** Minutes of recording on a card sold as so many gigabytes (10^9), before what the file system takes. */
export const cardMinutes = (gigabytes: number, megabitsPerSecond: number): number =>
  recordingSeconds(gigabytes * 1e9, megabitsPerSecond) / 60;

/** Binary gigabytes (2^30) of a size sold in decimal ones (10^9): 64 GB are 59.6 GiB. */
export const gibibytes = (gigabytes: number): number => (gigabytes * 1e9) / 2 ** 30;

/** Whole minutes and seconds of a time, rounded down to the second: `19:05`. */
export const minutesText = (seconds: number): string =>
  `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;

/**
 * Whether a folder name has the form of the camera folder rule (DCF, JEITA CP-3461; known here from two manuals and an
 * encyclopedia): a number from 100 to 999, then five of A–Z, 0–9 and `_`; case is not told apart.
 */
export const isCameraFolder = (name: string): boolean => /^[1-9]\d{2}\w{5}$/.test(name);

/** Whether a file's name without extension has the form of that rule: four of those characters, then 0001 to 9999. */
export const isCameraFileStem = (name: string): boolean => /^\w{4}(?!0000)\d{4}$/.test(name);

/** The number in a camera folder name; undefined when the name has not that form. */
export const cameraFolderNumber = (name: string): number | undefined =>
  isCameraFolder(name) ? Number(name.slice(0, 3)) : undefined;

/** The number in a camera file's name without extension; undefined when the name has not that form. */
export const cameraFileNumber = (name: string): number | undefined =>
  isCameraFileStem(name) ? Number(name.slice(4)) : undefined;
