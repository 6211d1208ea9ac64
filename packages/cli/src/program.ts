import { Command, CommanderError, InvalidArgumentError, Option } from "commander";
import { CommandError } from "./command-error.ts";
import { exitCodes } from "./exit-codes.ts";
import type { Io } from "./io.ts";
import { version } from "./version.ts";

/** Reads a whole number of at least one from an option. */
function count(text: string): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 1 || value > 64)
    throw new InvalidArgumentError("a whole number from 1 to 64 is expected");
  return value;
}

/** Reads a decimal number from an option. */
function decimal(text: string): number {
  const value = Number(text);
  if (text.trim() === "" || !Number.isFinite(value)) throw new InvalidArgumentError("a number is expected");
  return value;
}

const briefOption = () => new Option("--brief <file>", "what the edit asks for, as goodgate brief writes it");
const timelineOption = () =>
  new Option("--timeline <rate>", "timeline rate: 23.976, 24, 25, 29.97, 30, 50, 59.94, 60, or 24000/1001");
const treatmentOption = () =>
  new Option("--treatment <how>", "how the clips will play").choices(["real", "slow", "either"]);
const jobsOption = () => new Option("--jobs <n>", "clips read at the same time").argParser(count);

/** The command line: every command with its options; each command's code is loaded when it is called. */
export function buildProgram(io: Io): { run: (args: readonly string[]) => Promise<number> } {
  let code: number = exitCodes.good;
  const program = new Command("goodgate")
    .description("Says of each clip on a memory card whether it will conform cleanly to the edit, before you leave.")
    .version(version, "-V, --version", "print the version")
    .helpOption("-h, --help", "print help")
    .helpCommand("help [command]", "print help for a command")
    .showHelpAfterError("(goodgate help shows the commands)")
    .exitOverride()
    .configureOutput({
      writeOut: (text) => io.print(text),
      writeErr: () => {},
    })
    .addHelpText(
      "after",
      `
Examples:
  goodgate brief > brief.yaml                    start a brief, then fill it in
  goodgate audit /media/card --brief brief.yaml --out report
  goodgate audit /media/card --timeline 25       a quick look, nothing written
  goodgate settings --timeline 25 --light 13     what to set on the next flight
  goodgate explain shutter-angle                 what a rule looks at, and why

Exit code: 0 every clip clean or workable, 1 some clip is not, 2 the command was wrong,
3 goodgate itself failed, 130 interrupted. Nothing on the card is ever written.`,
    );

  program
    .command("audit")
    .description("read a card and judge every clip against the brief")
    .argument("<card...>", "a memory card, a folder, or single files")
    .addOption(briefOption())
    .addOption(timelineOption())
    .addOption(treatmentOption())
    .option("--out <dir>", "write report.html, report.json and report.csv there (never on the card)")
    .option("--json", "print the JSON report alone on stdout")
    .option("--notes", "list notes in the table too")
    .option("--second-reader", "read every file with ffprobe as well and report disagreements")
    .addOption(
      new Option(
        "--measure [how]",
        "ask the pictures for shutter angle, noise, flicker, clipping, repeats, motion, shake: a sample of each clip, or all of it (needs ffmpeg)",
      ).choices(["sample", "all"]),
    )
    .option("--pictures", "put a poster and six frames of each clip into report.html (needs ffmpeg)")
    .option("--no-positions", "leave positions out of the reports")
    .option("--resume", "go on with an interrupted audit from what it kept in --out")
    .option("--fresh", "read every file anew, even those an earlier audit read and that are unchanged")
    .option("--no-cache", "take nothing from earlier audits and keep nothing for later ones")
    .addOption(jobsOption())
    .addHelpText("after", "\nExample:\n  goodgate audit /media/card --brief brief.yaml --out report")
    .action(async (cards: string[], options) => {
      const { audit } = await import("./commands/audit.ts");
      code = await audit(cards, options, io);
    });

  program
    .command("facts")
    .description("print every fact of every file with where it came from and what was read")
    .argument("<path...>", "files or folders")
    .option("--json", "print JSON in the report's shape")
    .option("--jsonl", "print one flat JSON line a file")
    .option("--second-reader", "read every file with ffprobe as well")
    .option("--no-positions", "leave positions out")
    .addOption(jobsOption())
    .addHelpText("after", "\nExample:\n  goodgate facts DCIM/100FLYER/FLY_0001.MP4")
    .action(async (paths: string[], options) => {
      const { facts } = await import("./commands/facts.ts");
      code = await facts(paths, options, io);
    });

  program
    .command("brief")
    .description("print a commented starter brief, or write it to a file")
    .option("--out <file>", "write it there instead; an existing file is kept")
    .option("--check <file>", "say whether a brief can be read, and what it means")
    .addHelpText("after", "\nExamples:\n  goodgate brief > brief.yaml\n  goodgate brief --check brief.yaml")
    .action(async (options) => {
      const { brief } = await import("./commands/brief.ts");
      code = await brief(options, io);
    });

  program
    .command("settings")
    .description("say what to set on the next flight for a brief and a light level")
    .addOption(briefOption())
    .addOption(timelineOption())
    .addOption(new Option("--light <ev>", "light level, EV at ISO 100 (full sun is about 15)").argParser(decimal))
    .option("--from <report.json>", "take the light from a card's report")
    .addOption(new Option("--aperture <n>", "f-number of the lens").argParser(decimal))
    .option("--json", "print the rows as JSON")
    .addHelpText("after", "\nExample:\n  goodgate settings --timeline 25 --light 13")
    .action(async (options) => {
      const { settingsCommand } = await import("./commands/settings.ts");
      code = await settingsCommand(options, io);
    });

  program
    .command("explain")
    .description("say what a rule looks at, its limit, why, the remedy and its sources")
    .argument("[rule]", "id of the rule; without it, all rules are listed")
    .addHelpText("after", "\nExample:\n  goodgate explain timeline-fit")
    .action(async (rule: string | undefined) => {
      const { explain } = await import("./commands/explain.ts");
      code = await explain(rule, io);
    });

  program
    .command("report")
    .description("make a page again from a report.json, with no card")
    .argument("<report.json>", "a report an audit wrote")
    .addOption(
      new Option("--format <page>", "which page")
        .choices(["html", "csv", "otio", "handover", "table", "json"])
        .default("table"),
    )
    .option("--out <file>", "write it there instead of to stdout")
    .addHelpText("after", "\nExample:\n  goodgate report report/report.json --format html --out report.html")
    .action(async (file: string, options) => {
      const { reportCommand } = await import("./commands/report.ts");
      code = await reportCommand(file, options, io);
    });

  program
    .command("compare")
    .description("say what changed between two audits")
    .argument("<before.json>", "the earlier report")
    .argument("<after.json>", "the later report")
    .addHelpText("after", "\nExample:\n  goodgate compare before/report.json after/report.json")
    .action(async (before: string, after: string) => {
      const { compareCommand } = await import("./commands/compare.ts");
      code = await compareCommand(before, after, io);
    });

  program
    .command("seal")
    .description("hash every byte of a card into a record with the audit, or check a folder against a record")
    .argument("<card>", "a memory card, or a copy of one")
    .option("--out <dir>", "write the record there (never on the card)")
    .option("--check <dir>", "say what is changed, missing or extra against the record there")
    .option("--no-positions", "leave positions out of the audit in the record")
    .addOption(briefOption())
    .addOption(timelineOption())
    .addHelpText(
      "after",
      "\nExamples:\n  goodgate seal /media/card --out record\n  goodgate seal backup/data --check record",
    )
    .action(async (card: string, options) => {
      const { sealCommand } = await import("./commands/seal.ts");
      code = await sealCommand(card, options, io);
    });

  program
    .command("copy")
    .description("copy a card to one or more places in one read, verify by reading back, and audit it")
    .argument("<card>", "a memory card")
    .argument("<places...>", "folders to copy to; a different file that is there is never overwritten")
    .option("--no-positions", "leave positions out of the audit beside the copy; the clips keep theirs")
    .addOption(briefOption())
    .addOption(timelineOption())
    .addHelpText("after", "\nExample:\n  goodgate copy /media/card /media/disk-a/day-1 /media/disk-b/day-1")
    .action(async (card: string, places: string[], options) => {
      const { copyCommand } = await import("./commands/copy.ts");
      code = await copyCommand(card, places, options, io);
    });

  return {
    async run(args) {
      if (args.length === 0) {
        io.print(program.helpInformation());
        return exitCodes.wrongCommand;
      }
      try {
        await program.parseAsync([...args], { from: "user" });
        return code;
      } catch (error) {
        if (!(error instanceof CommanderError)) throw error;
        if (error.exitCode === 0) return exitCodes.good;
        if (error.code === "commander.help") {
          io.print(program.helpInformation());
          return exitCodes.wrongCommand;
        }
        const says = error.message.replace(/^error: /, "").split("\n")[0];
        throw new CommandError(`${says}; goodgate help shows the commands`);
      }
    },
  };
}
