import { unset } from "@goodgate/model";
import { factWords, supplyOf } from "../fact-words.ts";
import { startedAt, telemetryOf } from "../example-facts.ts";
import { amount, defineRule, limit } from "../rule.ts";
import { clockMilliseconds } from "../clock-text.ts";
import { secondsText } from "../words.ts";

const dayMilliseconds = 86_400_000;
const wrongSeconds = 60;
const quarterHourSeconds = 900;
/** Time from the press of the button to the first record, and clocks written to whole seconds. House limit. */
const slackSeconds = 5;

export default defineRule({
  id: "clock",
  title: "Camera clock",
  cases: ["J8"],
  scope: "clip",
  needs: [],
  wants: ["createdAt", "telemetry"],
  decides: false,
  explanation: `
A recording from 1904, 1970, 1980 or 2000, or from the future, comes from a clock that was not set, and so does a clock
field that still holds the start of its count. Against a satellite's
time in the telemetry, whole quarter hours are a time zone, anything else over a minute is wrong.
`,
  limits: [
    { name: "in the future", default: 24, unit: "hours", origin: "house limit", source: "common practice, no source" },
    {
      name: "against satellite time",
      default: wrongSeconds,
      unit: "s",
      origin: "house limit",
      source: "common practice, no source",
    },
  ],
  remedyOnLocation: "Set the camera's clock.",
  remedyInEdit: "Shift all clips of this camera by as much; sync by picture.",
  sources: ["ISO/IEC 14496-12, movie header box (seconds since 1904)", "common practice, no source"],

  check(_facts, { wants, now, figures }) {
    if (wants.createdAt?.state === "absent" && wants.createdAt.unset === true) {
      return {
        grade: "note",
        says: `The camera's clock was not set (${wants.createdAt.why}); sort them by name, sync by picture.`,
        measured: amount("not set", "", "not set"),
        limit: limit("set", "", "a clock that is set", "house limit"),
        remedy: "set the camera's clock",
        onLocation: "set the camera's clock",
        inEdit: "sort by name, sync by picture",
      };
    }
    if (wants.createdAt?.state !== "read") {
      const why = wants.createdAt?.state === "damaged" ? `damaged: ${wants.createdAt.why}` : "not recorded";
      const unsure = `Camera clock not judged: ${factWords("createdAt")} ${why}`;
      return { unsure, missing: ["createdAt"], supply: supplyOf("createdAt"), aside: true };
    }
    const { text, epochMilliseconds, suspect } = wants.createdAt.value;
    const ahead = epochMilliseconds - now;
    const why = suspect ?? (ahead > dayMilliseconds ? "in the future" : undefined);
    if (why !== undefined) {
      const allowed = suspect === undefined ? "24 h ahead" : "2015 to now";
      return {
        grade: "note",
        says: `The camera's clock said ${text} (${why}; limit ${allowed}): not set; sort these clips by name, sync by picture.`,
        measured: amount(text, "", text),
        limit: limit(allowed, "", allowed, "house limit"),
        remedy: "set the camera's clock",
        onLocation: "set the camera's clock",
        inEdit: "sort by name, sync by picture",
      };
    }
    const telemetry = wants.telemetry?.state === "read" ? wants.telemetry.value : undefined;
    const satellite =
      telemetry?.clockSource === "satellite" && telemetry.firstClock !== undefined
        ? clockMilliseconds(telemetry.firstClock)
        : undefined;
    if (satellite === undefined) return "passed";
    const off = (epochMilliseconds - satellite) / 1000;
    const quarters = Math.round(off / quarterHourSeconds);
    const rest = Math.abs(off - quarters * quarterHourSeconds);
    if (quarters === 0 ? rest <= wrongSeconds : rest <= slackSeconds && Math.abs(quarters) <= 56) {
      if (quarters === 0) return "passed";
      const hours = `${quarters > 0 ? "+" : "−"}${Math.abs(quarters) / 4} h`;
      return {
        grade: "note",
        says: `The camera's clock is ${hours} from satellite time: a time zone; shift by as much when other cameras keep UTC.`,
        measured: amount(off, "s", hours),
        limit: limit(0, "s", "satellite time (UTC)", "standard"),
        remedy: `shift by ${hours}`,
        inEdit: `shift by ${hours} when other cameras keep UTC`,
      };
    }
    return {
      grade: figures.cameras > 1 ? "workable" : "note",
      says: `The camera's clock is ${secondsText(Math.abs(off))} ${off > 0 ? "ahead of" : "behind"} satellite time (limit ${wrongSeconds} s); shift its clips by as much.`,
      measured: amount(Number(off.toFixed(1)), "s", secondsText(Math.abs(off))),
      limit: limit(wrongSeconds, "s", `${wrongSeconds} s`, "house limit"),
      remedy: "set the camera's clock",
      onLocation: "set the camera's clock",
      inEdit: `shift all clips of this camera by ${secondsText(Math.abs(off))}`,
    };
  },

  examples: [
    {
      title: "a clock that starts in 1970",
      facts: { createdAt: startedAt("1970-01-01T00:00:10Z", "start of an epoch") },
      expect: "note",
    },
    {
      title: "two days in the future",
      facts: { createdAt: startedAt("2024-05-03T10:00:01Z") },
      now: Date.parse("2024-05-01T10:00:00Z"),
      expect: "note",
    },
    {
      title: "an hour in the future: a zone",
      facts: { createdAt: startedAt("2024-05-01T11:00:00Z") },
      now: Date.parse("2024-05-01T10:00:00Z"),
      expect: "passed",
    },
    {
      title: "two hours from satellite time",
      facts: {
        createdAt: startedAt("2024-05-01T12:00:00Z"),
        telemetry: telemetryOf({ clockSource: "satellite", firstClock: "2024-05-01 10:00:01.000" }),
      },
      now: Date.parse("2024-05-02T10:00:00Z"),
      expect: "note",
    },
    {
      title: "61 s from satellite time with two cameras on the card",
      facts: {
        createdAt: startedAt("2024-05-01T10:01:01Z"),
        telemetry: telemetryOf({ clockSource: "satellite", firstClock: "2024-05-01 10:00:00" }),
      },
      others: [{ facts: { cameraModel: "another" } }],
      now: Date.parse("2024-05-02T10:00:00Z"),
      expect: "workable",
    },
    {
      title: "60 s from satellite time",
      facts: {
        createdAt: startedAt("2024-05-01T10:01:00Z"),
        telemetry: telemetryOf({ clockSource: "satellite", firstClock: "2024-05-01 10:00:00" }),
      },
      now: Date.parse("2024-05-02T10:00:00Z"),
      expect: "passed",
    },
    {
      title: "a clock field that holds the start of its count",
      absent: { createdAt: unset("the clock field is 0, which means not set") },
      expect: "note",
    },
    { title: "a file that states no time", absent: { createdAt: "no creation_time tag" }, expect: "unknown" },
    { title: "no clock", facts: {}, expect: "unknown" },
  ],
});
