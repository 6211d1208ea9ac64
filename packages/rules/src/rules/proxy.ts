import {
  absent,
  partsPerMillion,
  rate,
  rateLabel,
  read,
  seconds,
  toNumber,
  valueOf,
  type Facts,
  type Rate,
  type Seconds,
} from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";
import { secondsText } from "../words.ts";

export default defineRule({
  id: "proxy",
  title: "Proxy fits its original",
  cases: ["J9"],
  scope: "clip",
  needs: ["frameRate"],
  wants: ["durationSeconds"],
  decides: false,
  explanation: `A proxy of another rate or length than its original cannot be exchanged for it in the edit. Proxies are never judged as clips.`,
  limits: [
    {
      name: "length",
      default: 1,
      unit: "frame of the proxy",
      origin: "house limit",
      source: "common practice, no source",
    },
    { name: "rate", default: 200, unit: "ppm", origin: "house limit", source: "must stay below 999 ppm" },
  ],
  remedyOnLocation: "Nothing.",
  remedyInEdit: "Make new proxies from the originals.",
  sources: ["common practice, no source"],

  check({ frameRate }, { wants, clip }) {
    const proxy = clip.proxyFacts;
    if (proxy === undefined) return undefined;
    const other = valueOf(proxy.frameRate);
    if (other === undefined || other.numerator <= 0n) {
      return {
        unsure: "The proxy beside this clip could not be read: whether it fits is not known.",
        missing: ["frameRate"],
        supply: "a proxy that opens",
      };
    }
    const remedy = { remedy: "make new proxies", inEdit: "make new proxies from the originals" };
    if (Math.abs(partsPerMillion(other, frameRate)) > 200) {
      return {
        ...remedy,
        grade: "workable",
        says: `The proxy runs at ${rateLabel(other)} fps, its original at ${rateLabel(frameRate)}: they cannot be exchanged; make new proxies.`,
        measured: amount(rateLabel(other), "frames/s", `${rateLabel(other)} fps`),
        limit: limit(rateLabel(frameRate), "frames/s", `${rateLabel(frameRate)} fps`, "computed"),
      };
    }
    const [length, proxyLength] = [valueOf(wants.durationSeconds), valueOf(proxy.durationSeconds)];
    if (length === undefined || proxyLength === undefined) return "passed";
    const apart = Math.abs(toNumber(length) - toNumber(proxyLength));
    if (apart <= 1 / toNumber(other) + 0.001) return "passed";
    return {
      ...remedy,
      grade: "workable",
      says: `The proxy lasts ${secondsText(toNumber(proxyLength))}, its original ${secondsText(toNumber(length))}: they cannot be exchanged; make new proxies.`,
      measured: amount(Number(toNumber(proxyLength).toFixed(3)), "s", secondsText(toNumber(proxyLength))),
      limit: limit(Number(toNumber(length).toFixed(3)), "s", secondsText(toNumber(length)), "computed"),
    };
  },

  examples: [
    {
      title: "a proxy of another rate",
      facts: { frameRate: rate(50), durationSeconds: seconds(10) },
      clip: { proxyFacts: proxyOf(rate(25), seconds(10)) },
      expect: "workable",
    },
    {
      title: "a proxy two frames shorter",
      facts: { frameRate: rate(25), durationSeconds: seconds(10) },
      clip: { proxyFacts: proxyOf(rate(25), seconds(992, 100)) },
      expect: "workable",
    },
    {
      title: "a proxy one frame shorter",
      facts: { frameRate: rate(25), durationSeconds: seconds(10) },
      clip: { proxyFacts: proxyOf(rate(25), seconds(996, 100)) },
      expect: "passed",
    },
    {
      title: "a proxy that cannot be read",
      facts: { frameRate: rate(25) },
      clip: { proxyFacts: { frameRate: absent("no reader") } },
      expect: "unknown",
    },
    { title: "no proxy", facts: { frameRate: rate(25) }, expect: "silent" },
  ],
});

function proxyOf(frameRate: Rate, durationSeconds: Seconds): Facts {
  const origin = { kind: "container" as const, file: "proxy", place: "header" };
  return { frameRate: read(frameRate, origin), durationSeconds: read(durationSeconds, origin) };
}
