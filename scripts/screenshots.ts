// usage: tsx scripts/screenshots.ts [report.json]
// Renders a report as the HTML page and writes pictures of it at three widths, light and dark, and a PDF into
// .cache/screenshots, to be looked at. Without an argument: demo-report/report.json, else the tests' sample report.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { renderHtml } from "../packages/report/src/pages/html.ts";
import { sampleReport } from "../packages/report/src/sample-report.ts";
import { reportSchema, type Report } from "../packages/report/src/schema.ts";
import { openBrowser } from "./browser.ts";

const folder = ".cache/screenshots";
const named = process.argv[2] ?? (existsSync("demo-report/report.json") ? "demo-report/report.json" : undefined);
const report: Report =
  named === undefined ? sampleReport() : reportSchema.parse(JSON.parse(readFileSync(named, "utf8")));

mkdirSync(folder, { recursive: true });
const page = join(folder, "report.html");
writeFileSync(page, await renderHtml(report));
console.log(page);

const browser = await openBrowser();
try {
  for (const width of [360, 800, 1600]) {
    for (const colorScheme of ["light", "dark"] as const) {
      const tab = await browser.newPage({
        viewport: { width, height: width === 360 ? 740 : 1000 },
        colorScheme,
        reducedMotion: "reduce",
        deviceScaleFactor: width === 360 ? 2 : 1,
      });
      await tab.goto(pathToFileURL(page).href);
      // Rows off the screen are not drawn until they come near it, which a picture of the whole page does not wait for.
      await tab.evaluate(
        "document.styleSheets[0].insertRule('.clips>tbody>tr{content-visibility:visible!important}', document.styleSheets[0].cssRules.length)",
      );
      const shot = async (name: string, fullPage: boolean): Promise<void> => {
        const path = join(folder, `${width}-${colorScheme}-${name}.png`);
        await tab.screenshot({ path, fullPage });
        console.log(path);
      };
      await shot("first", false);
      await tab
        .locator("table.clips tbody tr:not(.opened) a")
        .nth(Math.min(3, report.clips.length - 1))
        .click();
      await tab.locator("tr.opened").first().waitFor();
      await shot("opened", true);
      await tab.close();
    }
  }
  const paper = await browser.newPage();
  await paper.goto(pathToFileURL(page).href);
  await paper.pdf({ path: join(folder, "report.pdf"), format: "A4", preferCSSPageSize: true });
  console.log(join(folder, "report.pdf"));
} finally {
  await browser.close();
}
