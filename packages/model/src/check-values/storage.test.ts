import { expect, test } from "vitest";
import {
  cameraFileNumber,
  cameraFolderNumber,
  cardMinutes,
  fat16LargestFileBytes,
  fat32LargestFileBytes,
  gibibytes,
  isCameraFileStem,
  isCameraFolder,
  minutesText,
  recordingSeconds,
} from "../storage.ts";
import { type CheckRow, mismatches, number, rowTitle } from "./row.ts";
import rows from "./storage.json" with { type: "json" };

const counted = (to: number, digits: number): readonly string[] =>
  Array.from({ length: to }, (_, place) => String(place).padStart(digits, "0"));

function answer({ given }: CheckRow): Record<string, unknown> {
  if ("fs" in given) {
    return { max_file_bytes: given["fs"] === "FAT32" ? fat32LargestFileBytes : fat16LargestFileBytes };
  }
  if ("card_gb_decimal" in given) {
    return { minutes: cardMinutes(number(given["card_gb_decimal"]), number(given["mbit_s"])) };
  }
  if ("gb_decimal" in given) return { gib: gibibytes(number(given["gb_decimal"])) };
  if ("limit_bytes" in given || "bytes" in given) {
    const sound = number(given["audio_kbit_s"] ?? 0) / 1000;
    const megabits = number(given["video_mbit_s"] ?? given["mbit_s"]) + sound;
    const seconds = recordingSeconds(number(given["limit_bytes"] ?? given["bytes"]), megabits);
    return { seconds, mm_ss: minutesText(seconds) };
  }
  if ("directory" in given) return { dcf_valid: isCameraFolder(String(given["directory"])) };
  if ("file_stem" in given) return { dcf_valid: isCameraFileStem(String(given["file_stem"])) };
  if (given["dcf"] === "directory number") {
    const numbers = counted(1000, 3).filter((digits) => isCameraFolder(`${digits}ABCDE`));
    return { min: cameraFolderNumber(`${numbers[0]}ABCDE`), max: cameraFolderNumber(`${numbers.at(-1)}ABCDE`) };
  }
  if (given["dcf"] === "file name") {
    const numbers = counted(10_000, 4).filter((digits) => isCameraFileStem(`ABCD${digits}`));
    return { min: numbers[0], max: numbers.at(-1), digits: numbers[0]?.length };
  }
  const signs = counted(128, 1).map((code) => String.fromCharCode(Number(code)).toUpperCase());
  return { characters: new Set(signs.filter((sign) => isCameraFolder(`100${sign.repeat(5)}`))).size };
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    expect(mismatches(row, answer(row), ["set", "case", "free_characters"])).toEqual([]);
  });
}

test("the numbers of camera folders and files are read only from names of that form", () => {
  expect(cameraFolderNumber("123ABCDE")).toBe(123);
  expect(cameraFolderNumber("99ABCDEF")).toBeUndefined();
  expect(cameraFileNumber("ABCD0042")).toBe(42);
  expect(cameraFileNumber("CLIP_1")).toBeUndefined();
});
