import { dayPicture } from "../../charts/day-picture.ts";
import { mapPicture } from "../../charts/map-picture.ts";
import type { Picture } from "../../charts/picture.ts";
import { ratesPicture } from "../../charts/rates-picture.ts";
import { clockText, grouped, short } from "../../charts/values.ts";
import { bytesText } from "../../fact-values.ts";
import { fileNames } from "../../grouped-findings.ts";
import type { ClipReport, Report } from "../../schema.ts";
import { worstFindings } from "./clip-row.ts";
import { findingLines, type FindingLines } from "./clip-sheet.ts";
import { briefValue, count, factLabel, own, plainWords, rateName, shutterName } from "./words.ts";

/** A link to a clip's sheet. */
export interface ClipLink {
  readonly number: number;
  readonly base: string;
}

/** One line that concerns one or several clips for the same cause. */
export interface CauseLine {
  readonly first: ClipLink;
  readonly says: string;
  /** What would answer an open question. */
  readonly needs: string | undefined;
  readonly more: readonly ClipLink[];
}

/** Cause lines shown at once; the others stand in the table. The first screen must decide. */
const mostLines = 8;

interface Cause {
  readonly key: string;
  readonly says: string;
  readonly needs?: string;
}

/** A clip of one verdict, with what is said of it on the first screen. */
interface Caused {
  readonly name: string;
  readonly number: number;
  readonly cause: Cause;
  readonly atRisk: boolean;
}

/** The clips of one verdict in card order. */
function causedBy(report: Report, verdict: ClipReport["verdict"], cause: (clip: ClipReport) => Cause): Caused[] {
  const found: Caused[] = [];
  if (report.counts[verdict] === 0) return found;
  let number = 0;
  for (const clip of report.clips) {
    if (clip.verdict === verdict) found.push({ name: clip.name, number, cause: cause(clip), atRisk: atRisk(clip) });
    number += 1;
  }
  return found;
}

function causeLines(
  report: Report,
  clips: readonly Caused[],
): { readonly shown: readonly CauseLine[]; readonly hidden: number } {
  const nameOf = fileNames(report);
  const groups = new Map<string, CauseLine & { readonly more: ClipLink[] }>();
  for (const { name, number, cause } of clips) {
    const link = { number, base: nameOf(name) };
    const group = groups.get(cause.key);
    if (group === undefined) groups.set(cause.key, { first: link, says: cause.says, needs: cause.needs, more: [] });
    else group.more.push(link);
  }
  const lines = [...groups.values()];
  return { shown: lines.slice(0, mostLines), hidden: Math.max(0, lines.length - mostLines) };
}

/** Whether the file itself is broken or incomplete. */
const atRisk = (clip: ClipReport): boolean => clip.facts["structure"]?.state === "damaged";

/** The clips to fly again, one line a cause: files at risk first, because the card must not be touched; then card order. */
export const reshootLines = (report: Report) =>
  causeLines(
    report,
    causedBy(report, "reshoot", (clip) => {
      const worst = worstFindings(clip)[0];
      return {
        key: `${worst?.rule}|${worst?.case}|${worst?.remedy}`,
        says: worst?.says ?? "cannot be used as planned",
      };
    }).sort((a, b) => Number(b.atRisk) - Number(a.atRisk) || a.number - b.number),
  );

/** The clips not judged, one line a missing answer, with what would supply it. */
export const unknownLines = (report: Report) =>
  causeLines(
    report,
    causedBy(report, "unknown", (clip) => {
      const open = clip.unknown.filter(({ decides }) => decides);
      const asked = open[0] ?? clip.unknown[0];
      const others = open.length > 1 ? ` (${count(open.length - 1, "more question")})` : "";
      return {
        key: open.map(({ rule, supply }) => `${rule}|${supply}`).join("|"),
        says: asked === undefined ? "not judged" : `${asked.says}${others}`,
        ...(asked === undefined ? {} : { needs: asked.supply }),
      };
    }),
  );

/** One row of settings for the next flight. */
export interface SettingsLine {
  readonly rate: string;
  readonly shutter: string;
  readonly iso: string;
  readonly nd: string;
  readonly angle: string;
  readonly uses: string;
  readonly cannot: string;
  readonly possible: boolean;
}

/** Rows of settings shown at once; an operator sets one or two. */
const mostSettings = 3;

/** The settings for the next flight: the rows the flight's own lines name, else the first possible ones; and the rest. */
export function settingsLines(report: Report): {
  readonly first: readonly SettingsLine[];
  readonly more: readonly SettingsLine[];
} {
  const rows = report.nextFlight?.rows ?? [];
  const named = rows.filter(({ says }) => report.nextFlight?.says.includes(says) === true);
  const possible = rows.filter((row) => row.possible);
  const chosen = (named.length > 0 ? named : possible.length > 0 ? possible : rows).slice(0, mostSettings);
  return {
    first: chosen.map(settingsLine),
    more: rows.filter((row) => !chosen.includes(row)).map(settingsLine),
  };
}

const settingsLine = (row: NonNullable<Report["nextFlight"]>["rows"][number]): SettingsLine => ({
  rate: rateName(row.captureRate),
  shutter: shutterName(row.shutterSeconds),
  iso: row.iso === undefined ? "\u2013" : short(row.iso, 0),
  nd: row.ndFactor === undefined ? "\u2013" : row.ndFactor <= 1 ? "no ND" : `ND${short(row.ndFactor, 0)}`,
  angle: short(row.angleDegrees, 0),
  uses: row.uses.join(", "),
  cannot: row.cannot.join("; "),
  possible: row.possible,
});

/** What is said of the next flight beyond its rows: the light and where it is known from. */
export const nextSays = (report: Report): readonly string[] =>
  (report.nextFlight?.says ?? []).filter((line) => !(report.nextFlight?.rows ?? []).some(({ says }) => says === line));

/** Everything the page prints about the card as a whole. */
export interface CardView {
  readonly title: string;
  readonly cardLine: string;
  readonly briefLine: string;
  readonly counts: readonly { readonly verdict: ClipReport["verdict"]; readonly clips: string }[];
  readonly usable: string;
  readonly pictures: readonly Picture[];
  readonly fits: readonly {
    readonly rate: string;
    readonly even: string;
    readonly retime: string;
    readonly uneven: string;
    readonly chosen: boolean;
  }[];
  readonly findings: readonly FindingLines[];
  readonly brief: readonly { readonly label: string; readonly value: string; readonly assumed: string | undefined }[];
  readonly stills: readonly { readonly name: string; readonly set: string; readonly text: string }[];
  readonly hiddenStills: number;
  readonly sets: readonly string[];
  readonly skipped: readonly { readonly path: string; readonly why: string }[];
  readonly hiddenSkipped: number;
  readonly audit: readonly { readonly label: string; readonly value: string }[];
}

/** Stills and skipped files listed; the machine-readable report has them all. */
const mostListed = 300;

/** What the page prints about the card. */
export function cardView(report: Report, pictures: boolean): CardView {
  const { card, counts, brief, audit } = report;
  const timeline = String(brief.items["timelineRate"] ?? "");
  const assumed = Object.keys(brief.assumed);
  const items = Object.entries(brief.items).filter(
    ([name, value]) =>
      name !== "timelineLabel" && !(Array.isArray(value) && value.length === 0 && !(name in brief.assumed)),
  );
  const unlisted = assumed.filter((name) => !items.some(([item]) => item === name));
  const sorted = (["reshoot", "unknown", "workable", "clean"] as const).map((verdict) => ({
    verdict,
    clips: grouped(counts[verdict]),
  }));
  return {
    title: card.label,
    cardLine: [
      card.label,
      count(counts.clips, "clip"),
      counts.stills > 0 ? count(counts.stills, "still") : "",
      bytesText(card.bytes),
      dayOf(card.firstStart, card.lastStart),
    ]
      .filter((part) => part !== "")
      .join(" \u00b7 "),
    briefLine: briefLine(report),
    counts: sorted,
    usable: `Usable: ${clockText(report.usable.realTimeSeconds)} in real time, ${clockText(report.usable.slowSeconds)} slow (min:s of timeline).`,
    pictures: pictures
      ? [dayPicture(report), ratesPicture(report), mapPicture(report)].filter((one) => one !== undefined)
      : [],
    fits: report.fits.map((fit) => ({
      rate: rateName(fit.timelineRate),
      even: grouped(fit.clips),
      retime: grouped(fit.afterRetime),
      uneven: grouped(fit.uneven),
      chosen: fit.timelineRate === timeline,
    })),
    findings: report.findings.map(findingLines),
    brief: [
      ...items.map(([name, value]) => ({
        label: factLabel(name),
        value: briefValue(name, value),
        assumed: brief.assumed[name],
      })),
      ...unlisted.map((name) => ({ label: factLabel(name), value: "\u2013", assumed: brief.assumed[name] })),
    ],
    stills: report.stills.slice(0, mostListed).map((still) => ({
      name: still.name,
      set: still.set ?? "",
      text: still.findings.map(({ says }) => says).join(" ") || stillText(still),
    })),
    hiddenStills: Math.max(0, report.stills.length - mostListed),
    sets: report.sets.map(setText),
    skipped: audit.skipped.slice(0, mostListed).map(({ path, why }) => ({ path, why })),
    hiddenSkipped: Math.max(0, audit.skipped.length - mostListed),
    audit: [
      { label: "Tool", value: `goodgate ${audit.version}, report ${report.format.version}` },
      { label: "Started", value: audit.startedAt },
      { label: "Took", value: `${short(audit.seconds, 2)} s with ${count(audit.jobs, "job")}` },
      {
        label: "Read",
        value: `${bytesText(audit.bytesRead)} in ${count(audit.readCalls, "call")}, of ${bytesText(card.bytes)}`,
      },
      { label: "Readers", value: audit.readers.join(", ") || "none" },
      { label: "ffprobe", value: audit.ffprobe ?? "not used" },
      { label: "Layout", value: card.layout },
      { label: "Files", value: grouped(card.files) },
      { label: "Free", value: card.freeBytes === undefined ? "not known" : bytesText(card.freeBytes) },
      { label: "Positions", value: audit.positions ? "in this report" : "left out on request" },
    ],
  };
}

/** The brief in one line; what nobody stated is marked. */
function briefLine(report: Report): string {
  const { items, assumed } = report.brief;
  const mark = (name: string): string => (Object.hasOwn(assumed, name) ? " (assumed)" : "");
  const parts = [`${rateName(String(items["timelineRate"] ?? "?"))} fps timeline${mark("timelineRate")}`];
  const treatment = items["treatment"];
  if (treatment !== undefined) {
    const words: Record<string, string> = { real: "real time", slow: "slow motion", either: "real time or slow" };
    parts.push(`${own(words, String(treatment)) ?? plainWords(treatment)}${mark("treatment")}`);
  }
  const ceiling = items["isoCeiling"];
  parts.push(
    ceiling === undefined ? `no ISO ceiling${mark("isoCeiling")}` : `ISO ≤ ${plainWords(ceiling)}${mark("isoCeiling")}`,
  );
  const mains = items["mainsHertz"];
  parts.push(mains === undefined ? `mains 50 and 60 Hz${mark("mainsHertz")}` : `mains ${plainWords(mains)} Hz`);
  const nd = items["ndFactors"];
  parts.push(nd === undefined ? `ND at hand not stated${mark("ndFactors")}` : briefValue("ndFactors", nd));
  return parts.join(" \u00b7 ");
}

function dayOf(first: string | undefined, last: string | undefined): string {
  const day = /^\d{4}-\d\d-\d\d/;
  const from = first === undefined ? undefined : day.exec(first)?.[0];
  const to = last === undefined ? undefined : day.exec(last)?.[0];
  if (from === undefined) return "";
  return to === undefined || to === from ? from : `${from} to ${to}`;
}

function stillText(still: Report["stills"][number]): string {
  const shown = ["shutterSeconds", "iso", "fNumber", "exposureBias"].flatMap((name) => {
    const fact = still.facts[name];
    return fact?.state === "read" && fact.text !== undefined ? [fact.text] : [];
  });
  return shown.join(", ");
}

function setText(set: Report["sets"][number]): string {
  const interval = set.intervalSeconds === undefined ? "" : `, one every ${short(set.intervalSeconds, 2)} s`;
  const stops =
    set.exposureStops === undefined
      ? ""
      : `, exposures ${set.exposureStops.map((stop) => `${stop > 0 ? "+" : ""}${short(stop, 1)}`).join(" / ")} stops`;
  const missing =
    set.missingNumbers.length === 0 ? "" : `, missing numbers: ${set.missingNumbers.slice(0, 20).join(", ")}`;
  return `${set.id}: ${count(set.names.length, "still")}${interval}${stops}${missing}`;
}
