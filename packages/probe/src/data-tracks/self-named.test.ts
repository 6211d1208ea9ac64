import { expect, test } from "vitest";
import { readDataTrack } from "../telemetry/data-track.ts";
import { madeBox, madeTrack } from "../telemetry/made-track.ts";

const read = async (entry: string, fields: Uint8Array) =>
  await readDataTrack(
    madeTrack(entry, [Buffer.from('{"iso":250}')], { entryBytes: Buffer.concat([new Uint8Array(8), fields]) }),
    {},
    "a.mp4",
  );

test("tracks that name their own vocabulary are named and no value is taken", async () => {
  const holds = "unknown vocabulary";
  expect(await read("mett", Buffer.from("\0application/json\0"))).toEqual({
    notTelemetry: "mett: application/json",
    holds,
  });
  expect(await read("metx", Buffer.from("\0urn:example:a\0urn:example:b\0"))).toEqual({
    notTelemetry: "metx: urn:example:a urn:example:b",
    holds,
  });
  const uri = madeBox("uri ", Buffer.from("\0\0\0\0urn:example:telemetry\0"));
  expect(await read("urim", uri)).toEqual({ notTelemetry: "urim: urn:example:telemetry", holds });
});

test("a name that is cut, empty or unprintable does not throw", async () => {
  for (const entry of ["mett", "metx", "urim"]) {
    expect(await read(entry, new Uint8Array(0))).toMatchObject({ notTelemetry: `${entry} without a name` });
    await read(entry, Buffer.from([0, 0, 0, 200, 1, 2, 255, 254]));
  }
  expect(await readDataTrack(madeTrack("urim", [], { entryBytes: new Uint8Array(0) }), {}, "a")).toMatchObject({
    holds: "unknown vocabulary",
  });
});

test("an entry nobody knows is unknown vocabulary, timecode is timecode", async () => {
  expect(await read("abcd", new Uint8Array(0))).toEqual({
    notTelemetry: "abcd: unknown vocabulary",
    holds: "unknown vocabulary",
  });
  expect(await read("tmcd", new Uint8Array(0))).toMatchObject({ holds: "timecode" });
});
