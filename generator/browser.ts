import type { Browser } from "playwright-core";

/**
 * Opens the browser that paper and tests are made with: the locked Chromium on Linux, an installed Chrome or Edge elsewhere.
 * @throws Error that says what to install
 */
export async function openBrowser(): Promise<Browser> {
  const { chromium } = await import("playwright-core");
  if (process.platform === "linux" && process.arch === "x64") {
    const { default: locked } = await import("@sparticuz/chromium");
    locked.setGraphicsMode = false;
    const args = locked.args.filter(
      (argument) => !/single-process|disable-web-security|allow-file|no-zygote/.test(argument),
    );
    return chromium.launch({ executablePath: await locked.executablePath(), args, headless: true });
  }
  for (const channel of ["chrome", "msedge"]) {
    const browser = await chromium.launch({ channel, headless: true }).catch(() => undefined);
    if (browser) return browser;
  }
  throw new Error("Found no browser, expected Chrome or Edge. Install either one and try again.");
}
