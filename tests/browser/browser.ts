import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { extname, join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext, Page } from "playwright-core";

export { openBrowser } from "../../generator/browser.ts";

/** A page, what it asked for, and what went wrong on it: the console's errors, exceptions, refused requests. */
export interface Watched {
  readonly page: Page;
  readonly context: BrowserContext;
  readonly requests: string[];
  readonly errors: string[];
}

/** A new page without a network, unless `online`. */
export async function watchedPage(browser: Browser, { online = false } = {}): Promise<Watched> {
  const context = await browser.newContext({ offline: !online });
  const page = await context.newPage();
  const requests: string[] = [];
  const errors: string[] = [];
  context.on("request", (request) => requests.push(request.url()));
  page.on("requestfailed", (request) => {
    const why = request.failure()?.errorText;
    // Going on to the next page gives up what the last one had not yet read.
    if (why !== "net::ERR_ABORTED") errors.push(`${request.url()} ${why}`);
  });
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error") errors.push(message.text());
  });
  return { page, context, requests, errors };
}

/** The address of a file in a plain folder. */
export function fileAddress(folder: string, path: string): string {
  return pathToFileURL(join(folder, path)).href;
}

/** A folder served at an address with a path before it, as on a host shared with other sites. */
export interface Served {
  readonly address: string;
  stop(): Promise<void>;
}

export async function serve(folder: string, base = "/yard/book/"): Promise<Served> {
  const server = createServer(async (request, response) => {
    const { pathname } = new URL(request.url ?? "/", "http://localhost");
    const path = decodeURIComponent(pathname);
    const file = join(folder, path.slice(base.length), path.endsWith("/") ? "index.html" : "");
    const found = path.startsWith(base) && (await stat(file).catch(() => undefined))?.isFile();
    if (!found) return void response.writeHead(404).end("nothing here");
    response.writeHead(200, { "content-type": types[extname(file)] ?? "application/octet-stream" });
    createReadStream(file).pipe(response);
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${port}${base}`,
    stop: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

const types: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css",
  ".js": "text/javascript",
  ".json": "application/json",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".webmanifest": "application/manifest+json",
  ".woff2": "font/woff2",
};
