import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { demoBriefFile, demoCardFolder } from "../../../../fixtures/places.ts";
import type { Io } from "../io.ts";
import { goodgate } from "../built.ts";
import { settingsCommand } from "./settings.ts";

async function printed(options: Parameters<typeof settingsCommand>[0]): Promise<string> {
  let text = "";
  const io = { print: (more: string) => (text += more), columns: 200, colour: false } as unknown as Io;
  await settingsCommand(options, io);
  return text;
}

test("settings from a card's report take its light, its aperture and its brief", async () => {
  const folder = mkdtempSync(join(tmpdir(), "goodgate-settings-"));
  try {
    const audit = goodgate(["audit", demoCardFolder, "--brief", demoBriefFile, "--json"]);
    const report = join(folder, "report.json");
    writeFileSync(report, audit.stdout);
    const said = await printed({ from: report });
    // The last clip is the promenade under lamps: ISO 800, 1/60, f/2.8 is EV 5.9; the brief's ceiling is 800.
    expect(said).toContain("light about EV 5.9 at ISO 100, f/2.8\n");
    expect(said).toMatch(/^25 +1\/50 s +640 +no ND +real time 180°$/m);
    expect(said).toMatch(/^50 .*ISO 1280 is over the ceiling of 800$/m);
    expect(said).toContain("Refly only if the rules at this place");
    // A light given by hand goes before the report's.
    expect(await printed({ from: report, light: 15 })).toContain("light about EV 15 at ISO 100");
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
