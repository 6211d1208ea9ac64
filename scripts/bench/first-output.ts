// Not run by itself: time until a program says something on stdout.
import { spawn } from "node:child_process";

/** Milliseconds from the start of a Node program to its first byte on stdout; the program is then ended. */
export function firstOutput(args: readonly string[]): Promise<number> {
  return new Promise((resolve, reject) => {
    const began = performance.now();
    const child = spawn(process.execPath, [...args], { stdio: ["ignore", "pipe", "ignore"] });
    let at: number | undefined;
    child.stdout.on("data", () => {
      at ??= performance.now() - began;
    });
    child.on("error", reject);
    child.on("close", () => (at === undefined ? reject(new Error("nothing on stdout")) : resolve(at)));
  });
}
