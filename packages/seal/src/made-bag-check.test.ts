import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { bagFaults } from "./made-bag-check.ts";

// SHA-256 of "abc" (FIPS 180-4 example).
const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
let bag: string;

beforeEach(() => {
  bag = mkdtempSync(join(tmpdir(), "goodgate-bag-"));
  mkdirSync(join(bag, "data"));
  writeFileSync(join(bag, "data/a%b"), "abc");
  put("bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
  put("manifest-sha256.txt", `${abc}  data/a%25b\n`);
  put("bag-info.txt", "Payload-Oxum: 3.1\n");
});
afterEach(() => rmSync(bag, { recursive: true, force: true }));

const put = (name: string, text: string): void => writeFileSync(join(bag, name), text);

test("the check of bags accepts a bag made by hand after RFC 8493", () => {
  expect(bagFaults(bag)).toEqual([]);
});

test.each([
  ["a declaration of one line", () => put("bagit.txt", "BagIt-Version: 1.0\n"), /^2\.1\.1/],
  [
    "a byte order mark",
    () => put("bagit.txt", "\uFEFFBagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"),
    /^2\.1\.1/,
  ],
  ["no payload folder", () => rmSync(join(bag, "data"), { recursive: true }), /^2\.1\.2/],
  ["a file not listed", () => put("data/more", "x"), /^3 data\/more is not in/],
  ["a changed file", () => put("data/a%b", "abd"), /^3 .* has not the checksum/],
  ["a missing file", () => rmSync(join(bag, "data/a%b")), /^3 .* is not there/],
  ["a percent sign as it is", () => put("manifest-sha256.txt", `${abc}  data/a%b\n`), /^2\.1\.3 .* bare percent/],
  ["a way out", () => put("manifest-sha256.txt", `${abc}  data/../x\n`), /^5\.1/],
  ["a wrong sum of the payload", () => put("bag-info.txt", "Payload-Oxum: 4.1\n"), /^2\.2\.2/],
  ["a tag manifest of payload", () => put("tagmanifest-sha256.txt", `${abc}  data/a%25b\n`), /^2\.2\.1/],
])("the check of bags finds %s", (_, damage, fault) => {
  damage();
  expect(bagFaults(bag).join("\n")).toMatch(new RegExp(fault.source, "m"));
});
