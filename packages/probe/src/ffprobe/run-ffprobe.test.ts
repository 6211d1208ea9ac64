import { chmod, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { parseAnswer } from "./answer.ts";
import { askStreams, ffprobeSource, mostProbeBytes, runFfprobe } from "./run-ffprobe.ts";

let folder = "";
const never = new AbortController().signal;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "probe-run-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

/** A program of our own in ffprobe's place: what it does is the body of a script. */
async function program(name: string, body: string) {
  const path = join(folder, name);
  await writeFile(path, `#!${process.execPath}\n${body}`);
  await chmod(path, 0o755);
  return { path, version: "6.0", from: "setting" };
}

// A script is only a program where a shebang line counts.
describe.skipIf(process.platform === "win32")("a program in ffprobe's place", () => {
  test("its JSON is handed on as it was written", async () => {
    const answer = JSON.stringify({ streams: [], format: { format_name: "mxf" } });
    const good = await program("good", `process.stdout.write(${JSON.stringify(answer)})`);
    expect(await askStreams(good, "/tmp/clip.mxf", never)).toEqual({ text: answer });
  });

  test("one that hangs is ended at the time limit, and its process is gone", async () => {
    const pidFile = join(folder, "pid");
    const stuck = await program(
      "stuck",
      `require("fs").writeFileSync(${JSON.stringify(pidFile)}, String(process.pid)); setInterval(() => {}, 1000);`,
    );
    expect(await askStreams(stuck, "/tmp/clip.mxf", never, 1500)).toEqual({ fault: "no answer within 1.5 s" });
    const { readFile } = await import("node:fs/promises");
    const pid = Number(await readFile(pidFile, "utf8"));
    await expect.poll(() => isRunning(pid), { timeout: 5000 }).toBe(false);
  });

  test("one that never stops talking is ended at the bound of its answer", async () => {
    const chatty = await program(
      "chatty",
      `const b = "x".repeat(65536); const go = () => { while (process.stdout.write(b)); process.stdout.once("drain", go); }; go();`,
    );
    expect(await askStreams(chatty, "/tmp/clip.mxf", never)).toEqual({
      fault: `more than ${mostProbeBytes} bytes of answer`,
    });
    expect(await runFfprobe(chatty, [], "/tmp/clip.mxf", never)).toEqual({
      fault: `more than ${mostProbeBytes} bytes of answer`,
    });
  });

  test("garbage is a fault, not an exception", async () => {
    const garbage = await program("garbage", `process.stdout.write("[STREAM]\\ncodec_name=\\u0000\\xff{{{")`);
    const output = await askStreams(garbage, "/tmp/clip.mxf", never);
    expect("text" in output && parseAnswer(output.text)).toEqual({ fault: "its answer is not JSON" });
  });

  test("a failure is told in one line without any path of this machine", async () => {
    const failing = await program(
      "failing",
      `process.stderr.write("[mov @ 0x55d0c8e0] moov atom not found\\n" + process.argv.at(-1) + ": Invalid data\\n"); process.exit(1);`,
    );
    expect(await askStreams(failing, "/tmp/clip.mp4", never)).toEqual({
      fault: "moov atom not found",
      refused: true,
    });
    expect(await runFfprobe(failing, [], "/tmp/clip.mp4", never)).toEqual({ fault: "moov atom not found" });
  });

  test("a program that is not there is a fault", async () => {
    const missing = { path: join(folder, "missing"), version: "6.0", from: "setting" };
    expect(await askStreams(missing, "/tmp/clip.mp4", never)).toMatchObject({
      fault: expect.stringContaining("ENOENT"),
    });
    expect(await runFfprobe(missing, [], "/tmp/clip.mp4", never)).toMatchObject({ fault: expect.any(String) });
  });

  test("an abort ends the program and is thrown", async () => {
    const stuck = await program("stuck2", `setInterval(() => {}, 1000);`);
    for (const run of [
      (signal: AbortSignal) => askStreams(stuck, "/tmp/a.mxf", signal),
      (signal: AbortSignal) => runFfprobe(stuck, [], "/tmp/a.mxf", signal),
    ]) {
      const stop = new AbortController();
      const running = run(stop.signal);
      setTimeout(() => stop.abort(), 200);
      await expect(running).rejects.toThrow(/abort/i);
    }
  });

  test("a name can become neither an option nor an address", async () => {
    const echo = await program("echo", `process.stdout.write(JSON.stringify(process.argv.slice(2)))`);
    for (const name of ["-version", "concat:a|b", "http://127.0.0.1/x", "a b\n'c", "pipe:0"]) {
      const output = await askStreams(echo, join(folder, name), never);
      const told = JSON.parse("text" in output ? output.text : "[]") as string[];
      expect(told.at(-1)).toBe(`file:${join(folder, name)}`);
      expect(told.join(" ")).toContain("-protocol_whitelist file");
    }
    expect(ffprobeSource("-x")).toBe(`file:${resolve("-x")}`);
  });

  test("many at once get each their own answer", async () => {
    const echo = await program(
      "echo2",
      `setTimeout(() => process.stdout.write(process.argv.at(-1)), Math.random() * 50)`,
    );
    const names = Array.from({ length: 3 }, (_, place) => join(folder, `clip ${place}.mp4`));
    const twice = [...names, ...names];
    const answers = await Promise.all(twice.map((name) => askStreams(echo, name, never)));
    expect(answers).toEqual(twice.map((name) => ({ text: `file:${name}` })));
  });
});

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
}
