import { chmod, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { ratioText, valueOf } from "@goodgate/model";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { parseAnswer } from "./answer.ts";
import { readWithFfprobe } from "./read-with-ffprobe.ts";
import { readTextStream } from "./text-stream.ts";

const never = new AbortController().signal;
let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "probe-with-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

/** A program that gives one answer to each of the three questions we ask. */
async function program(
  name: string,
  answers: { readonly streams?: object; readonly packets?: string; readonly dump?: object },
) {
  const path = join(folder, name);
  const body = `
    const asked = process.argv.slice(2).join(" ");
    const answers = ${JSON.stringify(answers)};
    if (asked.includes("packet=pts,dts ")) process.stdout.write(answers.packets ?? "");
    else if (asked.includes("-show_data")) process.stdout.write(JSON.stringify(answers.dump ?? {}));
    else process.stdout.write(JSON.stringify(answers.streams ?? {}));`;
  await writeFile(path, `#!${process.execPath}\n${body}`);
  await chmod(path, 0o755);
  return { path, version: "6.0", from: "setting" };
}
const answer = (stream: object, format = "matroska,webm") => ({
  streams: [
    { index: 0, codec_type: "video", codec_name: "h264", width: 320, height: 180, time_base: "1/1000", ...stream },
  ],
  format: { format_name: format, duration: "60.0" },
});
/** Times in milliseconds in decode order: each fourth frame comes before the three that are shown before it. */
const decodeOrder = (count: number, framesPerSecond: number): string => {
  const times = Array.from({ length: count }, (_, frame) => Math.round((frame * 1000) / framesPerSecond));
  const mixed: number[] = [];
  for (let at = 0; at < count; at += 4) {
    const group = times.slice(at, at + 4);
    mixed.push(...group.slice(-1), ...group.slice(0, -1));
  }
  return mixed.map((time) => `${time},N/A\n`).join("");
};

const streams = (codec: string) => ({
  streams: [answer({}).streams[0], { index: 3, codec_type: "subtitle", codec_name: codec }],
  format: { format_name: "matroska,webm" },
});

const textOf = async (codec: string, packets: object) => {
  const checked = parseAnswer(JSON.stringify(streams(codec)));
  if ("fault" in checked) throw new Error(checked.fault);
  const found = await readTextStream(await program(`text-${codec}`, { dump: packets }), "/c.mkv", checked, never);
  return found === undefined ? undefined : Buffer.from(found.cues).toString("utf8");
};

describe.skipIf(process.platform === "win32")("answers of a program", () => {
  test("frames still to come at the end of the stretch are no holes", async () => {
    const claims = { avg_frame_rate: "1000/33", r_frame_rate: "30000/1001" };
    // The stretch ends amid a group: its last frame is there, the ones shown before it are not.
    const cut = decodeOrder(152, 30000 / 1001)
      .split("\n")
      .slice(0, 149)
      .join("\n");
    const found = await readWithFfprobe(
      await program("cut", { streams: answer(claims), packets: cut }),
      "/c.mkv",
      "c.mkv",
      never,
      true,
    );
    if ("fault" in found) throw new Error(found.fault);
    const timing = valueOf(found.facts.timing);
    expect(timing?.kind).toBe("rounded");
    expect(timing?.stretchSeconds).toBeGreaterThan(4);
    const rate = valueOf(found.facts.frameRate);
    expect(rate === undefined ? "" : ratioText(rate)).toBe("30000/1001");
    expect(found.facts.frames).toMatchObject({ state: "absent" });
  });

  test("a file shorter than the stretch is counted whole", async () => {
    const short = await program("short", { streams: answer({ avg_frame_rate: "25/1" }), packets: decodeOrder(50, 25) });
    const found = await readWithFfprobe(short, "/c.mkv", "c.mkv", never, true);
    if ("fault" in found) throw new Error(found.fault);
    expect(valueOf(found.facts.frames)).toBe(50);
    const length = valueOf(found.facts.durationSeconds);
    expect(length === undefined ? "" : ratioText(length)).toBe("2/1");
  });

  test("a small file is read whole, however long it plays: all its frames are counted", async () => {
    const streams = { ...answer({}), format: { format_name: "matroska,webm", duration: "60.0", size: "900000" } };
    const found = await readWithFfprobe(
      await program("small", { streams, packets: decodeOrder(1500, 25) }),
      "/c.mkv",
      "c.mkv",
      never,
      true,
    );
    if ("fault" in found) throw new Error(found.fault);
    expect(valueOf(found.facts.frames)).toBe(1500);
    expect(valueOf(found.facts.timing)).not.toHaveProperty("stretchSeconds");
  });

  test("one picture a second: a stretch that ends between two pictures is not the end of the file", async () => {
    const slow = await program("slow", {
      streams: answer({}),
      packets: "0,N/A\n1000,N/A\n2000,N/A\n3000,N/A\n4000,N/A\n",
    });
    const found = await readWithFfprobe(slow, "/c.mkv", "c.mkv", never, true);
    if ("fault" in found) throw new Error(found.fault);
    expect(found.facts.frames).toMatchObject({ state: "absent" });
  });

  test("a file of one picture has one frame, and the rate its header states", async () => {
    const format = { format_name: "matroska,webm", duration: "0.04", size: "900" };
    const rates = async (claim: string): Promise<unknown> => {
      const { streams } = answer({ avg_frame_rate: claim, r_frame_rate: claim });
      const one = await program("one", { streams: { streams, format }, packets: "0,N/A\n" });
      const found = await readWithFfprobe(one, "/c.mkv", "c.mkv", never, true);
      if ("fault" in found) throw new Error(found.fault);
      expect(valueOf(found.facts.frames)).toBe(1);
      return found.facts.frameRate?.state;
    };
    expect(await rates("25/1")).toBe("read");
    // Where nothing is stated ffprobe names the ticks of the clock.
    expect(await rates("1000/1")).toBe("absent");
  });

  test("AVI without times of showing is timed by its decoding order", async () => {
    const packets = Array.from({ length: 60 }, (_, frame) => `N/A,${frame}\n`).join("");
    const streams = answer({ time_base: "1/25" }, "avi");
    const avi = await program("avi", { streams: { ...streams, format: { ...streams.format, size: "9000" } }, packets });
    const found = await readWithFfprobe(avi, "/c.avi", "c.avi", never, true);
    if ("fault" in found) throw new Error(found.fault);
    expect(valueOf(found.facts.timing)?.kind).toBe("constant");
    expect(valueOf(found.facts.frames)).toBe(60);
  });

  test("packets without times leave the claimed rate, and the timing unknown", async () => {
    const silent = await program("silent", {
      streams: answer({ avg_frame_rate: "25/1" }),
      packets: "N/A,N/A\nN/A,N/A\nN/A,N/A\n",
    });
    const found = await readWithFfprobe(silent, "/c.avi", "c.avi", never, true);
    if ("fault" in found) throw new Error(found.fault);
    expect(found.facts.timing).toEqual({ state: "absent", why: "its packets carry no times" });
    expect(found.facts.frameRate).toMatchObject({ state: "read" });
  });

  test("a still, for which 25 frames a second are claimed, has no picture that moves", async () => {
    for (const format of ["image2", "jpeg_pipe", "png_pipe"]) {
      const still = await program(`still-${format}`, { streams: answer({ avg_frame_rate: "25/1" }, format) });
      expect(await readWithFfprobe(still, "/c.mkv", "c.mkv", never, true)).toMatchObject({ hasPicture: false });
    }
  });

  test("cues of a text stream become a subtitle text, layout fields of ASS left out", async () => {
    // As ffprobe prints "[iso: 100]" and an ASS event, with -show_data.
    const dump = {
      packets: [
        {
          pts_time: "1.040000",
          duration_time: "0.040000",
          data: "\n00000000: 5b69 736f 3a20 3130 305d                 [iso: 100]\n",
        },
      ],
    };
    const event = Buffer.from("7,0,Default,,0,0,0,,a, b\\Nc", "utf8").toString("hex");
    const lines = (event.match(/.{1,32}/g) ?? []).map((line, place) =>
      `0000000${place}0: ${(line.match(/.{1,4}/g) ?? []).join(" ")}  text`.slice(-200),
    );
    const ass = {
      packets: [{ pts_time: "0", duration_time: "1", data: `\n${lines.map((line) => line.slice(1)).join("\n")}\n` }],
    };
    expect(await textOf("subrip", dump)).toBe("1\n00:00:01,040 --> 00:00:01,080\n[iso: 100]\n");
    expect(await textOf("ass", ass)).toBe("1\n00:00:00,000 --> 00:00:01,000\na, b\nc\n");
    expect(await textOf("hdmv_pgs_subtitle", dump)).toBeUndefined();
    expect(await textOf("subrip", { packets: "none" })).toBeUndefined();
  });
});
