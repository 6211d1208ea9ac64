import * as fc from "fast-check";
import { expect, test } from "vitest";
import { BriefError, longestBrief, parseBrief } from "./brief-file.ts";
import { rate, speed } from "./quantities.ts";

function complaint(text: string): string {
  try {
    parseBrief(text, "brief.yaml");
  } catch (error) {
    expect(error).toBeInstanceOf(BriefError);
    const { message } = error as BriefError;
    expect(message).toMatch(/^brief\.yaml/);
    expect(message).not.toMatch(/[\n\r]/);
    return message;
  }
  throw new Error("the brief was accepted");
}

test("every key of a brief is read", () => {
  const text = `
timeline: 23.976
raster: 3840 x 2160
treatment: slow
slowSpeed: 40%
treatments:
  - clips: 100CLIPS
    treatment: real
  - { clips: "slow*", treatment: slow, speed: 1/4 }
isoCeiling: 800
isoCeilings: [{ clips: night, ceiling: 3200 }]
baseIso: 100
shutterAngle: 172.8
shutterTolerance: 0.7
mains: 60
artificialLight: yes
nd: [8, ND16, nd 64]
highestLight: 15.5
delivery: hdr
sound: true
timecode: false
strictCadence: true
motionLook: crisp
portrait: true
shots:
  - { name: arrival, clips: "a*", treatment: slow, count: 2 }
  - { name: harbour, clips: b }
`;
  expect(parseBrief(text, "brief.yaml")).toEqual({
    timelineRate: rate(24000, 1001),
    raster: { width: 3840, height: 2160 },
    treatment: "slow",
    slowSpeed: speed(2, 5),
    treatments: [
      { pattern: "100CLIPS", treatment: "real" },
      { pattern: "slow*", treatment: "slow", speed: speed(1, 4) },
    ],
    isoCeiling: 800,
    isoCeilings: [{ pattern: "night", ceiling: 3200 }],
    baseIso: 100,
    shutterAngleDegrees: 172.8,
    shutterToleranceStops: 0.7,
    mainsHertz: 60,
    artificialLight: "yes",
    ndFactors: [8, 16, 64],
    highestLightEv: 15.5,
    delivery: "hdr",
    soundWanted: true,
    timecodeWanted: false,
    strictCadence: true,
    motionLook: "crisp",
    portrait: true,
    shots: [
      { name: "arrival", pattern: "a*", treatment: "slow", count: 2 },
      { name: "harbour", pattern: "b", count: 1 },
    ],
  });
});

test.each(["", "\n\n", "# nothing but a remark\n", "{}", "---\n", "\uFEFF"])("%j states nothing", (text) => {
  expect(parseBrief(text, "brief.yaml")).toEqual({});
});

test("only what was written is a key of the result", () => {
  expect(Object.keys(parseBrief("timeline: 25", "brief.yaml"))).toEqual(["timelineRate"]);
});

const rates = "expected a frame rate such as 25, 29.97 or 24000/1001";
const speeds = "expected a speed of at most real time, such as 1/2, 0.5 or 50%";

test.each([
  ["timeline: fast", `line 1, timeline: ${rates}, found "fast"`],
  ["timeline: true", `line 1, timeline: ${rates}`],
  ["timeline: [25]", `line 1, timeline: ${rates}`],
  ["timeline: 0.5", `line 1, timeline: ${rates}, found "0.5"`],
  ["timeline: 1001", `line 1, timeline: ${rates}, found "1001"`],
  ["\n\nslowSpeed: 50", `line 3, slowSpeed: ${speeds}, found "50"`],
  ["slowSpeed: 0", `line 1, slowSpeed: ${speeds}, found "0"`],
  ["slowSpeed: 1.2.3%", `line 1, slowSpeed: ${speeds}, found "1.2.3%"`],
  ["slowSpeed: {}", `line 1, slowSpeed: ${speeds}`],
  ["raster: 4K", 'line 1, raster: expected a raster such as 3840x2160, found "4K"'],
  ["raster: 2160", "line 1, raster: expected a raster such as 3840x2160"],
  ["raster: 00x00", 'line 1, raster: expected a raster such as 3840x2160, found "00x00"'],
  ["treatment: fast", "line 1, treatment: expected real, slow or either"],
  ["isoCeiling: high", "line 1, isoCeiling: expected an ISO value such as 800"],
  ["isoCeiling: -100", "line 1, isoCeiling: expected an ISO value such as 800"],
  ["isoCeiling: .inf", "line 1, isoCeiling: expected an ISO value such as 800"],
  ["isoCeiling: .nan", "line 1, isoCeiling: expected an ISO value such as 800"],
  ["isoCeiling:", "line 1, isoCeiling: expected an ISO value such as 800"],
  ["isoCeilings: 800", "line 1, isoCeilings: expected a list of clips and their ceiling"],
  ["isoCeilings: [800]", "line 1, isoCeilings.0: expected clips: a pattern and ceiling: an ISO value"],
  ["shutterAngle: 400", "line 1, shutterAngle: expected an angle of at most 360 degrees"],
  ["shutterTolerance: 5", "line 1, shutterTolerance: expected at most 4 stops"],
  ["timeline: 25\nmains: 55", "line 2, mains: expected 50 or 60"],
  ["artificialLight: maybe", 'line 1, artificialLight: expected "yes", "no" or "infer"'],
  ["nd: 8", "line 1, nd: expected a list of filters such as [8, 16, 64]"],
  ["nd:\n  - 8\n  - 0.9", 'line 3, nd.1: expected a filter factor such as 8 or ND8, found "0.9"'],
  ["nd: [ND]", 'line 1, nd.0: expected a filter factor such as 8 or ND8, found "ND"'],
  ["nd: [true]", "line 1, nd.0: expected a filter factor such as 8 or ND8"],
  ["nd: [10000000]", 'line 1, nd.0: expected a filter factor such as 8 or ND8, found "10000000"'],
  ["highestLight: 30", "line 1, highestLight: expected a light value from -6 to 22, such as 15"],
  ["highestLight: -7", "line 1, highestLight: expected a light value from -6 to 22, such as 15"],
  ["delivery: film", "line 1, delivery: expected sdr or hdr"],
  ["sound: loud", "line 1, sound: expected true or false"],
  ["noiseLimit: 0", "line 1, noiseLimit: expected a share of the signal range in percent, such as 0.8"],
  ["motionLook: soft", "line 1, motionLook: expected natural or crisp"],
  [
    "treatments:\n  - clips: a\n    treatment: slow\n    speed: 200%",
    `line 4, treatments.0.speed: ${speeds}, found "200%"`,
  ],
  [
    "treatments:\n  - clips: ''\n    treatment: slow",
    "line 2, treatments.0.clips: expected a folder or a name pattern as text",
  ],
  ["treatments:\n  - treatment: slow", "line 2, treatments.0.clips: expected a folder or a name pattern as text"],
  ["treatments: none", "line 1, treatments: expected a list of clips and their treatment"],
  ["shots: 3", "line 1, shots: expected a list of shots"],
  ["shots:\n  - clips: a\n    count: 2", "line 2, shots.0.name: expected the name of a shot as text"],
  ["shots: [{ name: a, clips: b, count: 1.5 }]", "line 1, shots.0.count: expected a whole number of clips such as 2"],
  ["25", "line 1: expected keys with values, such as timeline: 25"],
  ["- timeline: 25", "line 1: expected keys with values, such as timeline: 25"],
])("%j is refused with its line, its key and what was expected", (text, says) => {
  expect(complaint(text)).toBe(`brief.yaml, ${says}`);
});

test("a misspelt key is named with those that exist, at the top and in entries", () => {
  expect(complaint("# rate\ntimelin: 25")).toMatch(
    /^brief\.yaml, line 2, timelin: unknown key; expected one of timeline, /,
  );
  expect(complaint("a: 1\nb: 2")).toMatch(/^brief\.yaml, line 1, a: unknown key; /);
  expect(complaint("treatments:\n  - clips: a\n    treatment: slow\n    sped: 1/2")).toBe(
    "brief.yaml, line 4, treatments.0.sped: unknown key; expected clips: a pattern, treatment: real, slow or either, and perhaps speed: 1/2",
  );
});

test.each(["__proto__", "constructor", "toString", "hasOwnProperty", "<<"])(
  "the key %s is unknown, and harmless",
  (key) => {
    expect(complaint(`${key}: { treatment: slow }`)).toContain(`line 1, ${key}: unknown key`);
    expect(({} as Record<string, unknown>)["treatment"]).toBeUndefined();
  },
);

test("a key given twice is refused, with its line", () => {
  expect(complaint("timeline: 25\nsound: true\ntimeline: 24")).toBe(
    "brief.yaml, line 3, timeline: given twice; expected once",
  );
});

test("a key given twice is found in any map", () => {
  expect(complaint("shots:\n  - { name: a, clips: b, name: c }")).toBe(
    "brief.yaml, line 2, name: given twice; expected once",
  );
});

test("what the parser says is passed on in a line, however long what it quotes", () => {
  for (const text of [`timeline: *${"x".repeat(90_000)}`, `timeline: @${"x".repeat(90_000)}`, "\t".repeat(90_000)])
    expect(complaint(text).length).toBeLessThan(250);
});

test("a hundred thousand bare returns are empty lines", () => {
  expect(parseBrief(`timeline: 25\n${"\r".repeat(100_000)}sound: true`, "brief.yaml")).toMatchObject({
    soundWanted: true,
  });
});

test("a second document is refused", () => {
  expect(complaint("timeline: 25\n---\ntimeline: 24")).toBe(
    "brief.yaml, line 2: a second document begins; expected one",
  );
});

test("broken YAML is refused with its line", () => {
  expect(complaint("timeline: 25\nnd: [8, 16")).toMatch(/^brief\.yaml, line 2: /);
  expect(complaint("timeline: 25\n\tsound: true")).toMatch(/^brief\.yaml, line 2: /);
});

test("aliases that multiply, lack an anchor or go round are refused at once", () => {
  const bomb = ["a: &a [x,x,x,x,x,x,x,x,x]"];
  for (const [name, from] of ["ba", "cb", "dc", "ed", "fe", "gf", "hg"]) {
    bomb.push(`${name}: &${name} [${Array.from({ length: 9 }, () => `*${from}`).join(",")}]`);
  }
  // Followed, these are 43 million words.
  expect(complaint(bomb.join("\n"))).toMatch(/aliases cannot be followed: Excessive alias count/);
  expect(complaint("timeline: *missing")).toMatch(/aliases cannot be followed/);
  expect(complaint("treatments: &a\n  - *a")).toMatch(/^brief\.yaml, line/);
});

test.each(["[", "{a: ", "- ", "? ", "[{"])(
  "%j repeated without end is refused, and does not end the process",
  (text) => {
    expect(complaint(text.repeat(40_000))).toBe("brief.yaml: nested deeper than a brief can be");
  },
);

test("a line of colons, which nests without brackets, is refused in a line", () => {
  expect(complaint(`timeline: 25\n${": ".repeat(20_000)}`)).toMatch(/nested deeper|compact mappings/);
});

test("brackets that close again may be many", () => {
  const shots = Array.from({ length: 500 }, (_, place) => `  - { name: s${place}, clips: "s${place}[*]" }`).join("\n");
  expect(parseBrief(`shots:\n${shots}`, "brief.yaml").shots).toHaveLength(500);
});

test("a brief longer than its bound is refused", () => {
  expect(complaint(`timeline: 25\n#${" ".repeat(longestBrief)}`)).toBe(
    `brief.yaml: longer than the ${longestBrief} characters a brief may have`,
  );
});

test("what was found is quoted on one line, cut and without signs that a terminal obeys", () => {
  expect(complaint(`timeline: "a\\e[31m\\n${"b".repeat(100)}"`)).toBe(
    `brief.yaml, line 1, timeline: ${rates}, found "a [31m ${"b".repeat(33)}…"`,
  );
});

test("any text gives a brief or a complaint, never another error", () => {
  const piece = fc.constantFrom(
    "timeline",
    "nd",
    "shots",
    "treatments",
    "clips",
    ": ",
    ":",
    "\n",
    "  ",
    "- ",
    "[",
    "]",
    "{",
    "}",
    "25",
    "1/2",
    '"',
    "'",
    "|",
    ">",
    "&a ",
    "*a",
    "!!str ",
    "#",
    "?",
    ",",
    "%",
    "---",
    "\t",
    "\u0000",
    "50%",
    "~",
  );
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 30 }), (pieces) => {
      try {
        parseBrief(pieces.join(""), "brief.yaml");
      } catch (error) {
        expect(error).toBeInstanceOf(BriefError);
        expect((error as BriefError).message).toMatch(/^brief\.yaml/);
      }
    }),
    { numRuns: 3000 },
  );
});
