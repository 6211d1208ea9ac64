import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";

/**
 * What is wrong with a folder as a bag, rule by rule of RFC 8493; empty when it is complete and valid. For tests, and
 * written from the RFC alone: it shares no code with what writes bags.
 */
export function bagFaults(bag: string): readonly string[] {
  const faults: string[] = [];
  const text = (name: string): string | undefined =>
    existsSync(join(bag, name)) ? readFileSync(join(bag, name), "utf8") : undefined;
  // Section 2.1.1: exactly two lines, in this form and order, without a byte order mark.
  if (!/^BagIt-Version: \d+\.\d+\r?\nTag-File-Character-Encoding: UTF-8\r?\n?$/.test(text("bagit.txt") ?? "")) {
    faults.push("2.1.1 bagit.txt");
  }
  // Section 2.1.2: the payload directory must be there.
  if (!existsSync(join(bag, "data")) || !statSync(join(bag, "data")).isDirectory()) faults.push("2.1.2 no data");
  const payload = filesBelow(bag, "data");
  const manifests = readdirSync(bag).filter((name) => /^manifest-[a-z0-9]+\.txt$/.test(name));
  // Section 2.1.3: one payload manifest at least.
  if (manifests.length === 0) faults.push("2.1.3 no payload manifest");
  for (const name of manifests) {
    const listed = linesOf(text(name) ?? "", name, faults);
    // Section 2.1.3: paths begin with data/; section 3: every payload file is in every payload manifest.
    for (const path of listed.keys()) if (!path.startsWith("data/")) faults.push(`2.1.3 ${path} is no payload`);
    for (const path of payload) if (!listed.has(path)) faults.push(`3 ${path} is not in ${name}`);
    for (const [path, sum] of listed) faults.push(...sumFault(bag, path, sum, name));
  }
  for (const name of readdirSync(bag).filter((each) => /^tagmanifest-[a-z0-9]+\.txt$/.test(each))) {
    const listed = linesOf(text(name) ?? "", name, faults);
    for (const [path, sum] of listed) {
      // Section 2.2.1: tag manifests list neither payload nor tag manifests.
      if (path.startsWith("data/") || path.startsWith("tagmanifest-")) faults.push(`2.2.1 ${path} in ${name}`);
      faults.push(...sumFault(bag, path, sum, name));
    }
    // Section 2.2.1: should list all payload manifests.
    for (const each of manifests) if (!listed.has(each)) faults.push(`2.2.1 ${each} is not in ${name}`);
  }
  const about = text("bag-info.txt");
  if (about !== undefined) {
    // Section 2.2.2: label, colon, space, value; a line that begins with white space goes on.
    for (const line of about.split(/\r?\n/)) {
      if (line !== "" && !/^[^\s:][^:]*: \S/.test(line) && !/^\s/.test(line)) faults.push(`2.2.2 "${line}"`);
    }
    // Section 2.2.2: Payload-Oxum is octets, period, streams.
    const oxum = /^Payload-Oxum: (\d+)\.(\d+)$/m.exec(about);
    const bytes = payload.reduce((sum, path) => sum + statSync(join(bag, path)).size, 0);
    if (oxum !== null && (Number(oxum[1]) !== bytes || Number(oxum[2]) !== payload.length)) {
      faults.push(`2.2.2 Payload-Oxum ${oxum[0]} but ${bytes}.${payload.length}`);
    }
    const day = /^Bagging-Date: (.*)$/m.exec(about)?.[1];
    if (day !== undefined && !/^\d{4}-\d{2}-\d{2}$/.test(day)) faults.push(`2.2.2 Bagging-Date ${day}`);
  }
  return faults;
}

/** Section 2.1.3: checksum, white space, path; LF, CR and percent in paths are percent-encoded; no path twice. */
function linesOf(text: string, name: string, faults: string[]): ReadonlyMap<string, string> {
  const listed = new Map<string, string>();
  for (const line of text.split(/\r\n|\n|\r/)) {
    if (line === "") continue;
    const match = /^([0-9a-fA-F]{64})[ \t]+(\S.*)$/.exec(line);
    if (match === null) {
      faults.push(`2.1.3 ${name}: "${line}"`);
      continue;
    }
    const [, sum = "", encoded = ""] = match;
    if (/%(?!0A|0D|25)/i.test(encoded)) faults.push(`2.1.3 ${name}: a bare percent sign in ${encoded}`);
    const path = encoded.replace(/%0A/gi, "\n").replace(/%0D/gi, "\r").replace(/%25/gi, "%");
    // Section 5.1: no path may lead out of the bag.
    if (path.startsWith("/") || path.startsWith("~") || path.split("/").includes("..")) faults.push(`5.1 ${path}`);
    if (listed.has(path)) faults.push(`2.1.3 ${path} twice in ${name}`);
    listed.set(path, sum.toLowerCase());
  }
  return listed;
}

function sumFault(bag: string, path: string, sum: string, name: string): readonly string[] {
  const place = join(bag, path);
  if (!existsSync(place)) return [`3 ${path} of ${name} is not there`];
  const found = createHash("sha256").update(readFileSync(place)).digest("hex");
  return found === sum ? [] : [`3 ${path} has not the checksum of ${name}`];
}

function filesBelow(bag: string, folder: string): readonly string[] {
  if (!existsSync(join(bag, folder))) return [];
  return readdirSync(join(bag, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = `${folder}/${entry.name}`;
    return entry.isDirectory() ? filesBelow(bag, path) : [path];
  });
}
