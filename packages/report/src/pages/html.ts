import { Eta } from "eta/core";
import { stripBar } from "../charts/strip-bar.ts";
import { type Motion, outline, type Picture } from "../charts/picture.ts";
import { grouped } from "../charts/values.ts";
import type { Report } from "../schema.ts";
import { cardView, nextSays, reshootLines, settingsLines, unknownLines } from "./html/card-view.ts";
import { clientScript, earlyScript } from "./html/client.ts";
import { type ClipKeys, clipKeys, clipRow } from "./html/clip-row.ts";
import { clipSheet } from "./html/clip-sheet.ts";
import { packed, policyHash } from "./html/packing.ts";
import { pageTemplate } from "./html/page-template.ts";
import { pageStyle } from "./html/style.ts";
import {
  barTemplate,
  findingTemplate,
  linesTemplate,
  pictureTemplate,
  rowTemplate,
  settingsTemplate,
  sheetTemplate,
  verdictTemplate,
} from "./html/templates.ts";
import { escaped } from "./html/visible-text.ts";

/** What the page is to hold. */
export interface HtmlOptions {
  /** Whether pictures are drawn; they are most of the size of a large report. Default: yes. */
  readonly pictures?: boolean;
  /** A small picture from each clip by its name: a JPEG as base64. */
  readonly filmstrips?: ReadonlyMap<string, string>;
}

/** Sheets that stand in the page itself, worst clips first; they are there without script and on paper. */
export const sheetsInPage = 60;
/** Sheets packed together; opening one unpacks its neighbours too, in a few milliseconds. */
const sheetsInChunk = 40;
/** Frames of a filmstrip. */
const framesInStrip = 6;
/** Kinds of motion given to bars; a card has a handful, a hostile one could have one a clip. */
const mostMotions = 48;

const columns = [
  { name: "Verdict", key: "verdict" },
  { name: "Clip", key: "name" },
  { name: "Start", unit: "as recorded", key: "start", numeric: true },
  { name: "Length", unit: "min:s", key: "length", numeric: true },
  { name: "Rate", unit: "fps", key: "rate", numeric: true },
  { name: "Use", key: "use" },
  { name: "Speed", unit: "%", key: "speed", numeric: true },
  { name: "Angle", unit: "°", key: "angle", numeric: true },
  { name: "ISO", key: "iso", numeric: true },
  { name: "Picture", unit: "pixels, depth" },
  { name: "What stands out" },
];

const eta = new Eta({ autoEscape: true, escapeFunction: escaped, rmWhitespace: true, autoTrim: false });
eta.loadTemplate("@picture", pictureTemplate);
eta.loadTemplate("@verdict", verdictTemplate);
eta.loadTemplate("@finding", findingTemplate);
eta.loadTemplate("@bar", barTemplate);
eta.loadTemplate("@sheet", sheetTemplate);
eta.loadTemplate("@row", rowTemplate);
eta.loadTemplate("@lines", linesTemplate);
eta.loadTemplate("@settings", settingsTemplate);
eta.loadTemplate("@page", pageTemplate);

/**
 * The report as one self-contained HTML page: no network, a content-security policy that allows its one style and one
 * script by hash, every text escaped. The same report gives the same page.
 */
export async function renderHtml(report: Report, options: HtmlOptions = {}): Promise<string> {
  const pictures = options.pictures ?? true;
  const motions = new Map<string, Motion>();
  const drawn = (number: number): string => {
    const clip = report.clips.at(number);
    if (clip === undefined) return "";
    const sheet = clipSheet(clip, number, report, pictures);
    const given = options.filmstrips?.get(clip.name);
    // It goes into the page as it is, so it may hold nothing but base64.
    const filmstrip = given !== undefined && /^[A-Za-z0-9+/]+={0,2}$/.test(given) ? given : undefined;
    const bar = pictures ? stripBar(clip, filmstrip === undefined ? undefined : framesInStrip) : undefined;
    return eta.render("@sheet", {
      ...sheet,
      filmstrip,
      bar: bar === undefined ? undefined : { ...bar, outline },
      pictures: sheet.pictures.map((picture) => withMotions(picture, motions)),
    });
  };
  const keys: ClipKeys[] = [];
  const rows: string[] = [];
  let attention = 0;
  let place = 0;
  for (const clip of report.clips) {
    keys.push(clipKeys(clip));
    rows.push(eta.render("@row", clipRow(clip, place)));
    if (clip.verdict !== "clean") attention += 1;
    place += 1;
  }
  const order = keys
    .map(({ verdict }, number) => ({ number, verdict }))
    .sort((a, b) => a.verdict - b.verdict || a.number - b.number)
    .map(({ number }) => number);
  const inPage = order.slice(0, sheetsInPage);
  const others = order.slice(sheetsInPage).sort((a, b) => a - b);
  const sheets = inPage.map(drawn).join("\n");
  const chunks: string[] = [];
  const chunkOf = new Map<number, number>();
  for (let from = 0; from < others.length; from += sheetsInChunk) {
    const members = others.slice(from, from + sheetsInChunk);
    for (const number of members) chunkOf.set(number, chunks.length);
    chunks.push(await packed(members.map(drawn).join("\n")));
  }
  const view = cardView(report, pictures);
  const style = pageStyle([...motions.values()]);
  const policy = [
    "default-src 'none'",
    `style-src '${await policyHash(style)}'`,
    `script-src '${await policyHash(earlyScript)}' '${await policyHash(clientScript)}'`,
    ...(options.filmstrips === undefined || options.filmstrips.size === 0 ? [] : ["img-src data:"]),
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  return eta.render("@page", {
    report,
    view: { ...view, pictures: view.pictures.map((picture) => ({ ...picture, outline })) },
    policy,
    style,
    early: earlyScript,
    script: clientScript,
    columns,
    sheets,
    chunks,
    keys: dataBlock({ ...byColumn(keys), chunk: keys.map((_, number) => chunkOf.get(number) ?? null) }),
    rows,
    rates: [...new Set(keys.map(({ rateLabel }) => rateLabel))].sort((a, b) => rateOrder(a) - rateOrder(b)),
    reshoot: reshootLines(report),
    open: unknownLines(report),
    settings: settingsLines(report),
    nextSays: nextSays(report),
    shown: `${grouped(report.clips.length)} ${report.clips.length === 1 ? "clip" : "clips"}.`,
    unprinted:
      attention > sheetsInPage
        ? `Sheets of ${sheetsInPage} of ${grouped(attention)} clips that are not clean stand here; the others open from the table, and print when they are open.`
        : "",
  });
}

/** A picture ready for its template; its motions are noted, past the bound a bar stands still. */
function withMotions(picture: Picture, motions: Map<string, Motion>): Picture & { readonly outline: typeof outline } {
  for (const { motion } of picture.movers ?? []) {
    if (motions.size < mostMotions || motions.has(motion.name)) motions.set(motion.name, motion);
  }
  return { ...picture, outline };
}

/** Rates by size, what was not read last. */
const rateOrder = (label: string): number => {
  const rate = Number(label);
  return Number.isFinite(rate) ? rate : Number.MAX_VALUE;
};

/** Keys column by column, which is half the size of one record a clip. */
function byColumn(keys: readonly ClipKeys[]): Record<string, readonly unknown[]> {
  const names = ["verdict", "start", "length", "rate", "rateLabel", "use", "speed", "angle", "iso", "rules"] as const;
  return Object.fromEntries(names.map((name) => [name, keys.map((key) => key[name])]));
}

/** JSON for a data block: nothing in it can close the element or open a comment. */
const dataBlock = (value: unknown): string =>
  JSON.stringify(value).replace(
    /[<>&\u2028\u2029]/g,
    (found) => `\\u${found.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
