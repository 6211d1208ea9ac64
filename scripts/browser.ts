// Finds a Chromium for the tests of the HTML page and for screenshots. Not a program of its own: import `openBrowser` and
// `visitPage`.
import { accessSync, constants, existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { delimiter, dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright-core";

/** A browser's program, and what its environment needs. */
export interface FoundBrowser {
  readonly path: string;
  /** Where it was found: `CHROMIUM_PATH`, `PATH` or `package`. */
  readonly from: "CHROMIUM_PATH" | "PATH" | "package";
  /** Environment variables to add when it is started. */
  readonly environment: Readonly<Record<string, string>>;
  /** Start arguments this build needs. */
  readonly args: readonly string[];
}

const cache = join(dirname(fileURLToPath(import.meta.url)), "..", ".cache");

/** The Chromium at hand: the one named by CHROMIUM_PATH, else one on the PATH, else the one that comes as a package. */
export async function findBrowser(): Promise<FoundBrowser> {
  const named = process.env["CHROMIUM_PATH"];
  if (named !== undefined && named !== "") return { path: named, from: "CHROMIUM_PATH", environment: {}, args: [] };
  for (const folder of (process.env["PATH"] ?? "").split(delimiter)) {
    for (const name of ["chromium", "chromium-browser"]) {
      const path = join(folder, name);
      if (folder !== "" && runnable(path)) return { path, from: "PATH", environment: {}, args: [] };
    }
  }
  return unpackBrowser();
}

/**
 * The packaged Chromium, unpacked once into .cache/browser with the system libraries it needs, so that it also starts
 * where none are installed. The package unpacks into the system's temporary folder and adds the libraries only when it
 * believes to be in the cloud it was made for; both are told through the environment, which is put back afterwards.
 */
async function unpackBrowser(): Promise<FoundBrowser> {
  const home = join(cache, "browser");
  const libraries = join(home, "al2023", "lib");
  if (!existsSync(join(home, "chromium"))) {
    const fresh = `${home}.${process.pid}`;
    rmSync(fresh, { recursive: true, force: true });
    mkdirSync(fresh, { recursive: true });
    const before = { ...process.env };
    try {
      process.env["TMPDIR"] = fresh;
      process.env["AWS_LAMBDA_JS_RUNTIME"] = "nodejs20.x";
      const { default: packaged } = await import("@sparticuz/chromium");
      await packaged.executablePath();
    } finally {
      for (const name of ["TMPDIR", "AWS_LAMBDA_JS_RUNTIME", "LD_LIBRARY_PATH", "FONTCONFIG_PATH", "HOME"]) {
        const value = before[name];
        if (value === undefined) delete process.env[name];
        else process.env[name] = value;
      }
    }
    writeFileSync(join(fresh, "fonts", "fonts.conf"), fontSettings(home));
    try {
      renameSync(fresh, home);
    } catch {
      // Another run was faster; its copy is as good.
      rmSync(fresh, { recursive: true, force: true });
    }
  }
  return {
    path: join(home, "chromium"),
    from: "package",
    environment: { LD_LIBRARY_PATH: libraries, FONTCONFIG_PATH: join(home, "fonts") },
    args: ["--no-zygote", "--disable-gpu"],
  };
}

/** The package's own settings name only folders of the cloud: without a font Chromium lays out no text at all. */
const fontSettings = (home: string): string =>
  `<?xml version="1.0"?>
<fontconfig>
  <dir>${join(home, "fonts")}</dir>
  <dir>/usr/share/fonts</dir>
  <cachedir>${join(home, "fonts-cache")}</cachedir>
</fontconfig>
`;

/** Starts a headless browser; throws, naming what was tried, when none starts. */
export async function openBrowser(found?: FoundBrowser): Promise<Browser> {
  const use = found ?? (await findBrowser());
  const environment: Record<string, string> = { ...use.environment };
  for (const [name, value] of Object.entries(process.env)) {
    if (value !== undefined && !(name in environment)) environment[name] = value;
  }
  return chromium.launch({
    executablePath: use.path,
    headless: true,
    // The sandbox needs rights a container's root does not have; the pages opened here are our own.
    args: ["--no-sandbox", "--disable-dev-shm-usage", "--font-render-hinting=none", ...use.args],
    env: environment,
  });
}

/** A page that was opened, and everything it did that a quiet, self-contained page does not do. */
export interface Visit {
  readonly page: Page;
  /** Console messages, page errors, dialogs, refused policies and requests beyond the file itself. */
  readonly trouble: readonly string[];
  close(): Promise<void>;
}

/** Opens a file in a fresh context, by default with reduced motion, and listens for trouble from the start. */
export async function visitPage(browser: Browser, path: string, options: BrowserContextOptions = {}): Promise<Visit> {
  const context = await browser.newContext({ reducedMotion: "reduce", ...options });
  const page = await context.newPage();
  const address = pathToFileURL(path).href;
  const trouble: string[] = [];
  page.on("console", (message) => trouble.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => trouble.push(`error: ${error.message}`));
  page.on("dialog", (dialog) => trouble.push(`dialog: ${dialog.message()}`));
  page.on("request", (request) => {
    if (request.url().split("#")[0] !== address) trouble.push(`request: ${request.url()}`);
  });
  await page.goto(address);
  return { page, trouble, close: () => context.close() };
}

function runnable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
