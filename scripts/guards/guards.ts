/** A guard of the program, how it is taken away, and the test that must notice. */
export interface Guard {
  /** What is promised, in a few words. */
  readonly promise: string;
  readonly file: string;
  /** Texts of the file and what stands there without the guard; each must be there exactly as written. */
  readonly without: readonly (readonly [before: string, after: string])[];
  readonly test: string;
  /** Part of the test's name; the others of its file are left out. */
  readonly name: string;
  /** The test runs the built program. */
  readonly built?: true;
}

const cli = "packages/cli/src";
const probe = "packages/probe/src";
const seal = "packages/seal/src";
const report = "packages/report/src";

/** Every guard behind a promise of SECURITY.md that a few words of source can take away. */
export const guards: readonly Guard[] = [
  {
    promise: "no time of last access changes on the card",
    file: `${probe}/descriptor.ts`,
    without: [["readOnly | (constants.O_NOATIME ?? 0)", "readOnly"]],
    test: `${cli}/card-untouched.test.ts`,
    name: "two audits, facts, a seal",
    built: true,
  },
  {
    promise: "no output on the card",
    file: `${cli}/output-folder.ts`,
    without: [["if (liesIn(target, await realParent(card)) || (await isBelow(target, card))) {", "if (card === '') {"]],
    test: `${cli}/card-untouched.test.ts`,
    name: "a report, a record or a copy on the card",
    built: true,
  },
  {
    promise: "a card mounted twice is one card",
    file: `${cli}/output-folder.ts`,
    without: [[" || (await isBelow(target, card))", ""]],
    test: `${cli}/card-untouched.test.ts`,
    name: "mounted a second time",
    built: true,
  },
  {
    promise: "a copy goes through no link",
    file: `${seal}/folder-maker.ts`,
    without: [["if (!(await lstat(folder)).isDirectory()) {", "if (folder.length === 0) {"]],
    test: `${cli}/card-untouched.test.ts`,
    name: "no link back",
    built: true,
  },
  {
    promise: "the card is not its own copy",
    file: `${cli}/commands/copy.ts`,
    without: [["await refuseOnCard(join(place, payloadFolder), [card]);", ""]],
    test: `${cli}/card-untouched.test.ts`,
    name: "no link back",
    built: true,
  },
  {
    promise: "a hard link is no copy",
    file: `${seal}/copy-file.ts`,
    without: [["return own !== undefined && own.ino !== 0n && ", "return own === undefined && "]],
    test: `${cli}/card-untouched.test.ts`,
    name: "is no copy",
    built: true,
  },
  {
    promise: "links are not followed",
    file: `${probe}/card/walk.ts`,
    without: [
      ['  if (entry.isSymbolicLink()) return "link, not followed";\n', ""],
      ["const status = await lstat(join(root, inside));", "const status = await stat(join(root, inside));"],
    ],
    test: `${probe}/card/walk.test.ts`,
    name: "links are listed",
  },
  {
    promise: "pipes, sockets and devices are not opened",
    file: `${probe}/card/walk.ts`,
    without: [
      ['  if (entry.isFIFO()) return "pipe, not a file";\n', ""],
      [
        "if (status.isFile()) add(root, inside, status, false);",
        "if (status.isFIFO() || status.isFile()) add(root, inside, status, false);",
      ],
    ],
    test: `${probe}/card/walk.test.ts`,
    name: "pipes and sockets",
  },
  {
    promise: "trees are followed to a depth",
    file: `${probe}/card/walk.ts`,
    without: [["mostDepth = 16", "mostDepth = 16_000"]],
    test: `${probe}/card/walk.test.ts`,
    name: "deeper than any card",
  },
  {
    promise: "a place not looked at keeps a card from being good",
    file: `${cli}/exit-codes.ts`,
    without: [["unread === true", "unread === undefined && 1 > 2"]],
    test: `${cli}/hostile-tree.test.ts`,
    name: "a place that could not be looked at",
  },
  {
    promise: "a file that changes while it is read is damage",
    file: `${probe}/bytes.ts`,
    without: [["return now.size === status.size && now.mtimeMs === status.mtimeMs;", "return now.size >= 0;"]],
    test: `${cli}/hostile-faults.test.ts`,
    name: "vanish, shrink or change",
  },
  {
    promise: "boxes end inside their parents",
    file: `${probe}/containers/isobmff/boxes.ts`,
    without: [["if (size < header || size > to - at) {", "if (size < header) {"]],
    test: `${probe}/containers/isobmff/boxes.test.ts`,
    name: "a size past the parent",
  },
  {
    promise: "an index has a largest size",
    file: `${probe}/containers/isobmff/layout.ts`,
    without: [["mostMovieBytes = 64 * 1024 * 1024", "mostMovieBytes = 2 ** 50"]],
    test: `${probe}/containers/isobmff/damage.test.ts`,
    name: "an index larger than the bound",
  },
  {
    promise: "a text of telemetry has a largest size",
    file: `${probe}/telemetry/cue-file.ts`,
    without: [["if (bytes.length > mostCueFileBytes) return tooLong(bytes, path);", ""]],
    test: `${probe}/telemetry/cue-file.test.ts`,
    name: "a file longer than the bound",
  },
  {
    promise: "XML declares no entities",
    file: `${probe}/sidecars/xml-tree.ts`,
    without: [['if (/<!(?:DOCTYPE|ENTITY)/i.test(text)) return { fault: "a DOCTYPE is refused" };', ""]],
    test: `${probe}/sidecars/xml-tree.test.ts`,
    name: "an entity bomb",
  },
  {
    promise: "XML has a largest number of tags",
    file: `${probe}/sidecars/xml-tree.ts`,
    without: [["if (tags > mostXmlTags)", "if (tags < 0)"]],
    test: `${probe}/sidecars/xml-tree.test.ts`,
    name: "too long, too deep",
  },
  {
    promise: "a parser's words are cut",
    file: `${probe}/sidecars/xml-tree.ts`,
    without: [["message.length > mostFaultCharacters ?", "message.length < 0 ?"]],
    test: `${probe}/sidecars/xml-tree.test.ts`,
    name: "too long, too deep",
  },
  {
    promise: "YAML aliases are counted",
    file: "packages/model/src/brief-file.ts",
    without: [["mostAliases = 50", "mostAliases = -1"]],
    test: "packages/model/src/brief-file.test.ts",
    name: "aliases that multiply",
  },
  {
    promise: "YAML nests to a depth",
    file: "packages/model/src/brief-file.ts",
    without: [
      ["if (nestsTooDeeply(text)) throw", "if (text === name) throw"],
      ["if (error instanceof RangeError) throw", "if (text === name) throw"],
    ],
    test: "packages/model/src/brief-file.test.ts",
    name: "repeated without end",
  },
  {
    promise: "ffprobe opens plain files alone",
    file: `${probe}/ffprobe/run-ffprobe.ts`,
    without: [[', "-protocol_whitelist", "file"]', "]"]],
    test: `${probe}/ffprobe/run-ffprobe.test.ts`,
    name: "neither an option nor an address",
  },
  {
    promise: "a name is neither option nor address",
    file: `${probe}/ffprobe/run-ffprobe.ts`,
    without: [["`file:${resolve(path)}`;", "resolve(path).slice(resolve(path).lastIndexOf('/') + 1);"]],
    test: `${probe}/ffprobe/run-ffprobe.test.ts`,
    name: "neither an option nor an address",
  },
  {
    promise: "ffprobe's answer has a largest size",
    file: `${probe}/ffprobe/run-ffprobe.ts`,
    // The rest is thrown away: without a bound at all the trial would eat the machine.
    without: [["      tooMuch = true;\n      end();\n", "      tooMuch = false;\n"]],
    test: `${probe}/ffprobe/run-ffprobe.test.ts`,
    name: "never stops talking",
  },
  {
    promise: "ffprobe has a longest time, and is ended after it",
    file: `${probe}/ffprobe/run-ffprobe.ts`,
    without: [
      [
        "watched?.end();\n      settle({ fault: `no answer within ${limitMilliseconds / 1000} s` });",
        "settle({ fault: `no answer within ${limitMilliseconds / 1000} s` });",
      ],
    ],
    test: `${probe}/ffprobe/run-ffprobe.test.ts`,
    name: "one that hangs",
  },
  {
    promise: "an interrupt ends the children of children",
    file: `${probe}/ffprobe/run-ffprobe.ts`,
    without: [["process.kill(-child.pid, ", "process.kill(child.pid, "]],
    test: `${cli}/hostile-programs.test.ts`,
    name: "an interrupt ends an ffprobe",
    built: true,
  },
  {
    promise: "no program is taken from a relative place of PATH",
    file: `${probe}/ffprobe/find-ffprobe.ts`,
    without: [["if (!isAbsolute(folder)) continue;", "if (isAbsolute('.')) continue;"]],
    test: `${probe}/ffprobe/find-ffprobe.test.ts`,
    name: "a relative place in PATH",
  },
  {
    promise: "a report is written whole or not at all",
    file: `${cli}/output-folder.ts`,
    without: [["join(dirname(path), `.${basename(path)}.${process.pid}.part`)", "path"]],
    test: `${cli}/seal-commands.test.ts`,
    name: "a report on a disk that is full",
    built: true,
  },
  {
    promise: "an interrupted audit says that it is partial",
    file: `${cli}/read-card.ts`,
    without: [["partial: io.signal.aborted", "partial: false"]],
    test: `${cli}/journal.test.ts`,
    name: "writes a partial report",
  },
  {
    promise: "a journal line that was altered is not believed",
    file: `${cli}/journal.ts`,
    without: [['!== bytes.toString("latin1", 0, digestLength))', "=== '')"]],
    test: `${cli}/journal.test.ts`,
    name: "a damaged journal",
  },
  {
    promise: "a file of another size or time is read anew",
    file: `${cli}/journal.ts`,
    without: [
      [
        "JSON.stringify([clipTextForm, readers, filesOf(found)])",
        "JSON.stringify([clipTextForm, readers, found.name])",
      ],
    ],
    test: `${cli}/journal.test.ts`,
    name: "is not read again",
  },
  {
    promise: "a copy is read back",
    file: `${seal}/copy-file.ts`,
    without: [["if (back.value.sha256 !== hashed.sha256)", "if (back.value.sha256 === '')"]],
    test: `${seal}/seal-card.test.ts`,
    name: "a disk that keeps other bytes",
  },
  {
    promise: "a copy is on the disk before it gets its name",
    file: `${seal}/copy-file.ts`,
    without: [['if (synced.status === "rejected") throw synced.reason;', ""]],
    test: `${seal}/copy-card.test.ts`,
    name: "a copy whose last sync fails",
  },
  {
    promise: "the last sync is waited for",
    file: `${seal}/copy-file.ts`,
    without: [["allSettled([partial.sync(), ", "allSettled([Promise.resolve(void partial.sync()), "]],
    test: `${seal}/copy-card.test.ts`,
    name: "while its sync goes on",
  },
  {
    promise: "the fault an early sync tells is kept",
    file: `${seal}/partial-file.ts`,
    without: [[".catch((error: unknown) => {\n        this.#fault ??= error;", ".catch(() => {"]],
    test: `${seal}/copy-card.test.ts`,
    name: "a fault that an early sync told",
  },
  {
    promise: "an interrupt gives no name to what is under way",
    file: `${seal}/copy-file.ts`,
    without: [["    await turn;\n    signal.throwIfAborted();", "    await turn;"]],
    test: `${seal}/copy-card.test.ts`,
    name: "an interrupt while copies are synced",
  },
  {
    promise: "copies get their names one by one",
    file: `${seal}/copy-file.ts`,
    without: [["    await turn;\n", ""]],
    test: `${seal}/copy-card.test.ts`,
    name: "nor the order of what is told",
  },
  {
    promise: "a name taken by another file of the card is not taken for its own",
    file: `${seal}/copy-file.ts`,
    without: [["      if (twins.has(", "      if (twins.size < 0 && twins.has("]],
    test: `${seal}/copy-card.test.ts`,
    name: "no file replaces another",
  },
  {
    promise: "the names of copies are on the disk too",
    file: `${seal}/copy-card.ts`,
    without: [["results[at]?.failed.push(...(await folders.sync()));", "void [at, folders];"]],
    test: `${seal}/copy-card.test.ts`,
    name: "a folder that cannot be put on the disk",
  },
  {
    promise: "a different file is never overwritten",
    file: `${seal}/copy-file.ts`,
    without: [["if (already !== undefined) {", "if (already !== undefined && final.length === 0) {"]],
    test: `${seal}/seal-card.test.ts`,
    name: "a second copy keeps what is there",
  },
  {
    promise: "a copy with a fault is not called complete",
    file: `${cli}/commands/copy.ts`,
    without: [["const whole = result.refused.length + result.failed.length === 0;", "const whole = true;"]],
    test: `${cli}/seal-commands.test.ts`,
    name: "a different file at the destination",
    built: true,
  },
  {
    promise: "a check finds changed files",
    file: `${seal}/seal-card.ts`,
    without: [["if (sha256 === entry.sha256) same += 1;", "if (sha256 !== '') same += 1;"]],
    test: `${seal}/seal-card.test.ts`,
    name: "a check finds what changed",
  },
  {
    promise: "names reach the terminal shown, not obeyed",
    file: `${report}/visible.ts`,
    without: [["return text.replace(unprintable,", "return text.replace(/(?!)/gu,"]],
    test: `${report}/printed-text.test.ts`,
    name: "controls and direction marks",
  },
  {
    promise: "a seal shows names, not obeys them",
    file: `${cli}/commands/seal.ts`,
    without: [["`${word}: ${visible(each)}\\n`", "`${word}: ${each}\\n`"]],
    test: `${cli}/seal-commands.test.ts`,
    name: "names that would move the cursor",
    built: true,
  },
  {
    promise: "no cell is a formula",
    file: `${report}/pages/csv.ts`,
    without: [["escape_formulas: true", "escape_formulas: false"]],
    test: `${report}/pages/csv.test.ts`,
    name: "no cell is taken for a formula",
  },
  {
    promise: "--no-positions clears places and paths",
    file: `${report}/facts.ts`,
    without: [["if (!options.positions && (name ===", "if (options.positions && 1 > 2 && (name ==="]],
    test: `${report}/facts.test.ts`,
    name: "without positions",
  },
  {
    promise: "--no-positions clears keys and texts",
    file: `${report}/positions.ts`,
    without: [["!tellsPosition(key, String(text))", "key !== String(text)"]],
    test: `${report}/positions.test.ts`,
    name: "what is left out",
  },
  {
    promise: "--no-positions reaches the record of a seal",
    file: `${cli}/commands/seal.ts`,
    without: [["positions: options.positions,", "positions: true,"]],
    test: `${cli}/seal-commands.test.ts`,
    name: "leaves positions out of the audit in a record",
    built: true,
  },
  {
    promise: "a second interrupt ends the program in the middle of long work",
    file: `${cli}/cli.ts`,
    without: [["for (const signal of endings) process.off(signal, stop);\n  };", "};"]],
    test: `${cli}/interrupts.test.ts`,
    name: "a second interrupt",
    built: true,
  },
  {
    promise: "no module speaks to a network",
    file: `${probe}/bytes.ts`,
    without: [
      [
        'import { performance } from "node:perf_hooks";',
        'import { performance } from "node:perf_hooks";\nimport "node:https";',
      ],
    ],
    test: "scripts/check-supply.test.ts",
    name: "no module of ours",
  },
  {
    promise: "no shell starts a program",
    file: `${probe}/ffprobe/find-ffprobe.ts`,
    without: [["windowsHide: true }", "windowsHide: true, shell: true }"]],
    test: "scripts/check-supply.test.ts",
    name: "never through a shell",
  },
  {
    promise: "versions are exact",
    file: "packages/probe/package.json",
    without: [['"fast-xml-parser": "', '"fast-xml-parser": "^']],
    test: "scripts/check-supply.test.ts",
    name: "every version is exact",
  },
  {
    promise: "no install script runs",
    file: "pnpm-workspace.yaml",
    without: [["ignoredBuiltDependencies:", "onlyBuiltDependencies:"]],
    test: "scripts/check-supply.test.ts",
    name: "no install script runs",
  },
];
