import { factOrder } from "./facts.ts";

/** Keys of one object of the report in the order they are written; `each` stands for the keys of a record. */
export interface KeyOrder {
  readonly keys?: readonly string[];
  /** Order inside the values of these keys; lists take the order of their members. */
  readonly inside?: Readonly<Record<string, KeyOrder>>;
  /** For records: the order inside every value. */
  readonly each?: KeyOrder;
}

const origin: KeyOrder = { keys: ["kind", "file", "place", "reader"] };
const amount: KeyOrder = { keys: ["value", "unit", "text", "origin"] };

const fact: KeyOrder = {
  keys: [
    "state",
    "value",
    "decimal",
    "unit",
    "labelsPerSecond",
    "text",
    "origin",
    "why",
    "series",
    "witnesses",
    "broken",
  ],
  inside: {
    origin,
    series: { keys: ["typical", "first", "least", "most", "records", "coverage", "points"] },
    witnesses: { keys: ["value", "origin", "agrees"], inside: { origin } },
    broken: { keys: ["why", "origin"], inside: { origin } },
  },
};
/** Facts stand in the order of `factOrder`, others behind them by name. */
const facts: KeyOrder = { keys: factOrder, each: fact };

const finding: KeyOrder = {
  keys: [
    "rule",
    "case",
    "grade",
    "says",
    "measured",
    "limit",
    "remedy",
    "onLocation",
    "inEdit",
    "use",
    "atSeconds",
    "assumed",
    "clips",
    "stills",
  ],
  inside: { measured: amount, limit: amount },
};
const unknown: KeyOrder = { keys: ["rule", "missing", "says", "supply", "decides", "aside"] };

const clip: KeyOrder = {
  keys: [
    "name",
    "files",
    "parts",
    "verdict",
    "plan",
    "uses",
    "light",
    "facts",
    "findings",
    "unknown",
    "passed",
    "suppressed",
    "joints",
    "readers",
    "bytesRead",
  ],
  inside: {
    parts: { keys: ["path", "role", "bytes", "frames", "modified"] },
    plan: { keys: ["use", "speed", "percent", "cadence", "timelineSeconds"] },
    uses: {
      keys: [
        "use",
        "sceneSpeed",
        "speed",
        "cadence",
        "clean",
        "angleDegrees",
        "angleOrigin",
        "verdict",
        "timelineSeconds",
      ],
    },
    light: { keys: ["typicalEv", "leastEv", "mostEv", "overStops", "idealNdFactor", "ndFactorAtHand"] },
    facts,
    findings: finding,
    unknown,
    joints: { keys: ["afterPart", "gapFrames", "evidence"] },
  },
};

/** The order of every key of a report: that of its schema, held equal by a test; records go by name. */
export const reportOrder: KeyOrder = {
  keys: [
    "format",
    "partial",
    "answer",
    "card",
    "brief",
    "counts",
    "fits",
    "usable",
    "clips",
    "stills",
    "sets",
    "findings",
    "unknown",
    "nextFlight",
    "audit",
  ],
  inside: {
    format: { keys: ["name", "version"] },
    answer: { keys: ["says", "reshoot", "unknown"] },
    card: {
      keys: ["label", "layout", "files", "bytes", "freeBytes", "firstStart", "lastStart", "remarks"],
      inside: { remarks: { keys: ["kind", "says", "paths"] } },
    },
    brief: { keys: ["items", "assumed", "source"] },
    counts: {
      keys: ["clips", "clean", "workable", "unknown", "reshoot", "stills", "skipped", "findings"],
      inside: { findings: { keys: ["reshoot", "workable", "note"] } },
    },
    fits: { keys: ["timelineRate", "clips", "afterRetime", "uneven"] },
    usable: { keys: ["realTimeSeconds", "slowSeconds"] },
    clips: clip,
    stills: {
      keys: ["name", "files", "set", "facts", "findings"],
      inside: { facts, findings: finding },
    },
    sets: { keys: ["id", "kind", "names", "intervalSeconds", "exposureStops", "missingNumbers"] },
    findings: finding,
    unknown,
    nextFlight: {
      keys: ["lightEv", "lightFrom", "fNumber", "says", "rows", "caution"],
      inside: {
        rows: {
          keys: [
            "captureRate",
            "shutterSeconds",
            "angleDegrees",
            "iso",
            "ndFactor",
            "ndAtHand",
            "uses",
            "cannot",
            "says",
            "possible",
          ],
        },
      },
    },
    audit: {
      keys: [
        "tool",
        "version",
        "startedAt",
        "seconds",
        "jobs",
        "readers",
        "ffprobe",
        "bytesRead",
        "readCalls",
        "skipped",
        "positions",
      ],
      inside: { skipped: { keys: ["path", "why", "bytes", "unread"] } },
    },
  },
};
