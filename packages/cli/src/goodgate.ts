#!/usr/bin/env node
import { version } from "./version.ts";

// The version answers without loading anything else, so that start-up stays as short as an empty program's.
if (process.argv.length === 3 && (process.argv[2] === "--version" || process.argv[2] === "-V")) {
  process.stdout.write(`${version}\n`);
} else {
  const { setEngine } = await import("./engine.ts");
  setEngine();
  const { run } = await import("./cli.ts");
  process.exitCode = await run(process.argv.slice(2));
}
