import { createHash } from "node:crypto";
import { inflateRawSync } from "node:zlib";
import { expect, test } from "vitest";
import { bigReport, emptyReport, hostileReport, sampleReport } from "../sample-report.ts";
import * as pageTemplates from "./html/page-template.ts";
import * as templates from "./html/templates.ts";
import { renderHtml, sheetsInPage } from "./html.ts";

const inside = (html: string, open: RegExp): string[] =>
  [...html.matchAll(new RegExp(`${open.source}([\\s\\S]*?)</`, "g"))].map((match) => match[1] ?? "");

const digest = (text: string): string => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
const ids = (text: string): number[] =>
  [...text.matchAll(/<article class="sheet" id="c(\d+)"/g)].map((match) => Number(match[1]));

test("the same report gives the same page, byte for byte", async () => {
  expect(await renderHtml(sampleReport())).toBe(await renderHtml(sampleReport()));
});

test("the policy allows nothing but the page's own style and scripts, by their digests", async () => {
  const html = await renderHtml(sampleReport());
  const policy =
    /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(html)?.[1]?.replaceAll("&#39;", "'") ?? "";
  const [style = ""] = inside(html, /<style>/);
  const scripts = inside(html, /<script>/);
  expect(scripts).toHaveLength(2);
  expect(policy.split("; ")).toEqual([
    "default-src 'none'",
    `style-src ${digest(style)}`,
    `script-src ${scripts.map(digest).join(" ")}`,
    "base-uri 'none'",
    "form-action 'none'",
  ]);
});

test("no inline event code, no style attribute, no address but places in the page", async () => {
  for (const report of [sampleReport(), hostileReport(), emptyReport()]) {
    const html = (await renderHtml(report)).replace(/<(script|style)[\s\S]*?<\/\1>/g, "");
    expect(html).not.toMatch(/<[^>]*\s(on\w+|style|src)\s*=/i);
    for (const [, address] of html.matchAll(/href="([^"]*)"/g)) expect(address).toMatch(/^#[a-z0-9]+$/);
    expect(html).not.toMatch(/https?:\/\//);
  }
});

test("only templates' own output, checked outlines, style, script and packed sheets go in unescaped", () => {
  const raw = [...Object.values(templates), ...Object.values(pageTemplates)].flatMap((template) =>
    [...template.matchAll(/<%~\s*([\s\S]*?)\s*%>/g)].map((match) => match[1] ?? ""),
  );
  const others = raw.filter((expression) => !/^include\("@\w+", [^;]*\)$/.test(expression));
  expect([...new Set(others)].sort()).toEqual([
    "chunk",
    "it.early",
    "it.filmstrip",
    "it.keys",
    "it.outline(m.d)",
    "it.script",
    "it.sheets",
    "it.style",
    "row",
  ]);
});

test("a filmstrip goes in as base64 and as nothing else, and only then are data pictures allowed", async () => {
  const report = sampleReport();
  const [first, second] = report.clips.map((clip) => clip.name) as [string, string];
  const html = await renderHtml(report, {
    filmstrips: new Map([
      [first, "/9j/4AAQ="],
      [second, 'x" onerror="alert(1)'],
    ]),
  });
  expect(html).toContain('src="data:image/jpeg;base64,/9j/4AAQ="');
  expect(html).not.toContain("onerror");
  expect(html).toContain("img-src data:");
  expect(await renderHtml(report)).not.toContain("img-src");
});

test("the data block survives hostile text as JSON and cannot end its element", async () => {
  const html = await renderHtml(hostileReport());
  const [block = ""] = inside(html, /<script type="application\/json" id="keys">/);
  expect(block).not.toMatch(/[<>&]/);
  expect(JSON.parse(block).verdict).toHaveLength(hostileReport().clips.length);
});

test("worst clips have their sheets in the page, all others are packed, none is lost or doubled", async () => {
  const report = bigReport(150);
  const html = await renderHtml(report, { pictures: false });
  const inPage = ids(html);
  expect(inPage).toHaveLength(sheetsInPage);
  expect(inPage.filter((place) => report.clips[place]?.verdict === "reshoot")).toHaveLength(
    report.clips.filter(({ verdict }) => verdict === "reshoot").length,
  );
  const chunks = inside(html, /<script type="text\/plain" id="p\d+">/).map((text) =>
    inflateRawSync(Buffer.from(text, "base64")).toString("utf8"),
  );
  const packed = chunks.map(ids);
  expect([...inPage, ...packed.flat()].sort((a, b) => a - b)).toEqual(report.clips.map((_, place) => place));
  const { chunk } = JSON.parse(inside(html, /<script type="application\/json" id="keys">/)[0] ?? "{}") as {
    chunk: (number | null)[];
  };
  packed.forEach((members, place) => members.forEach((member) => expect(chunk[member]).toBe(place)));
  for (const place of inPage) expect(chunk[place]).toBeNull();
});

test("the verdict, the reshoot lines and the flying caution come before the counts and the table", async () => {
  const html = await renderHtml(sampleReport());
  const order = ["<h1", 'class="again"', 'class="caution"', 'class="next"', 'class="counts"', 'class="clips"'].map(
    (mark) => html.indexOf(mark),
  );
  expect(order.every((at, place) => at > (order[place - 1] ?? 0))).toBe(true);
  expect(html).toContain("local flying rules come first");
});

test("without pictures there is no drawing but the hatch", async () => {
  expect((await renderHtml(sampleReport(), { pictures: false })).match(/<svg/g)).toHaveLength(1);
});

test("an interrupted audit says so", async () => {
  const html = await renderHtml({ ...sampleReport(), partial: true });
  expect(html).toContain("This audit was interrupted");
});
