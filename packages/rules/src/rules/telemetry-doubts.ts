import { factWords } from "../fact-words.ts";
import { telemetryOf } from "../example-facts.ts";
import { amount, defineRule, type Found, limit } from "../rule.ts";
import { counted, fitted, midSentence } from "../words.ts";

export default defineRule({
  id: "telemetry-doubts",
  title: "Doubts about the telemetry",
  cases: ["J6"],
  scope: "clip",
  needs: [],
  wants: ["telemetry"],
  asks: ["telemetry"],
  decides: false,
  explanation: `What the reading of the records found odd: values that could not be read, holes, a clock that jumps. The rest of the
records was used.`,
  limits: [{ name: "unread records", default: 0, unit: "", origin: "computed", source: "the records themselves" }],
  remedyOnLocation: "Copy the sidecar again.",
  remedyInEdit: "Look at the clip where it matters.",
  sources: ["honesty rule: never a wrong number"],
  causedBy: ["unclosed-recording", "cut-short"],

  check(_facts, { wants }) {
    if (wants.telemetry?.state !== "read") return undefined;
    const { remarks = [], damagedValues = {}, unreadRecords, records } = wants.telemetry.value;
    const base = {
      grade: "note" as const,
      remedy: "look at the clip where it matters",
      inEdit: "look at the clip where it matters",
    };
    const found: Found[] = remarks.map((remark) => ({
      ...base,
      says: `In doubt: ${doubt(remark)}; look at the clip where it matters.`,
      measured: amount("doubt", "", doubt(remark)),
      limit: limit("no doubt", "", "no doubt", "computed"),
    }));
    const broken = Object.entries(damagedValues).sort((a, b) => (a[0] < b[0] ? -1 : 1));
    for (const [fact, count] of broken) {
      found.push({
        ...base,
        says: `${counted(count, "value")} of ${factWords(fact)} in the records could not be read, the rest was used; look at the clip where it matters.`,
        measured: amount(count, "values", `${counted(count, "value")} not read`),
        limit: limit(0, "values", "every value read", "computed"),
      });
    }
    if (unreadRecords > 0) {
      found.push({
        ...base,
        says: `${counted(unreadRecords, "record")} of ${records} could not be read, the rest was used; look at the clip where it matters.`,
        measured: amount(unreadRecords, "records", `${counted(unreadRecords, "record")} not read`),
        limit: limit(0, "records", "every record read", "computed"),
      });
    }
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    {
      title: "two shutter values of zero",
      facts: { telemetry: telemetryOf({ damagedValues: { shutterSeconds: 2 } }) },
      expect: "note",
    },
    { title: "a record that breaks off", facts: { telemetry: telemetryOf({ unreadRecords: 1 }) }, expect: "note" },
    {
      title: "a doubt in words",
      facts: { telemetry: telemetryOf({ remarks: ["The clock in the records jumps back."] }) },
      expect: "note",
    },
    { title: "plain records", facts: { telemetry: telemetryOf() }, expect: "passed" },
    { title: "no telemetry", facts: {}, expect: "unknown" },
  ],
});

/** A remark of a reader within a sentence: without its full stop, a word at its start in lower case. */
const doubt = (remark: string): string => fitted(midSentence(remark.replace(/\.$/, "")), 95);
