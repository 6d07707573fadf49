import { randomUUID } from "node:crypto";
import { watch as watchFolder } from "node:fs";
import { readFile } from "node:fs/promises";
import { createServer, type IncomingMessage, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { extname, join, normalize, sep } from "node:path";
import type { VFile } from "vfile";
import type { Audience } from "./shown.ts";
import { type Look, liveBook } from "./watch/book.ts";
import { addresses, script, style, watched } from "./watch/in-page.ts";
import { watchWords } from "./watch/words.ts";

export type { Look } from "./watch/book.ts";

/** What is watched, and for whom. */
export interface Watch {
  readonly content: string;
  readonly audience: Audience;
  /** The folder of the press. */
  readonly press: string;
  /** 0 for any that is free. */
  readonly port: number;
  /** Told after every look at the records that found something changed. */
  readonly looked: (look: Look) => void;
  /** Told when the folder can no longer be watched. */
  readonly lost: (error: Error) => void;
}

/** A book on the screen: its pages are made as they are asked for, and a page that is open shows the next one by itself. */
export interface Watching {
  readonly address: string;
  stop(): Promise<void>;
}

/**
 * Serves a book to this computer alone, and looks at its records again whenever a file of them changes. While a record has a
 * problem the last good pages stay, with the problem below them.
 * @throws Error when the port is taken or the folder cannot be watched
 */
export async function watchBook({ content, audience, press, port, looked, lost }: Watch): Promise<Watching> {
  const book = await liveBook(content, audience, press);
  const open = new Set<ServerResponse>();
  let state = { shown: "", wrong: [] as readonly string[] };
  let looks = 0;
  const tell = (to: Iterable<ServerResponse>): void => {
    for (const one of to) one.write(`event: look\ndata: ${JSON.stringify(state)}\n\n`);
  };
  const look = async (): Promise<void> => {
    const now = await book.look();
    if (looks++ > 0 && now.changed.length === 0) return;
    // What is shown is told apart from what an earlier watching showed, as a page may outlive it.
    const shown = now.wrong.length > 0 ? state.shown : randomUUID();
    state = { shown, wrong: now.wrong.flatMap(linesOf) };
    tell(open);
    looked(now);
  };
  await look();
  const watcher = watchFolder(content, { recursive: true });
  watcher.on("change", oneByOne(look, lost));
  watcher.on("error", lost);

  const answer = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const { pathname } = new URL(request.url ?? "/", "http://localhost");
    const path = decodeURIComponent(pathname);
    if (path === addresses.script) return send(response, 200, ".js", script);
    if (path === addresses.style) return send(response, 200, ".css", style);
    if (path === addresses.events) {
      response.writeHead(200, { "content-type": "text/event-stream", "cache-control": "no-store" });
      open.add(response);
      response.on("close", () => open.delete(response));
      return tell([response]);
    }
    const asset = await assetAt(join(press, "client"), path);
    if (asset) return send(response, 200, extname(path), asset);
    const { shown } = state;
    const address = path.replace(/(\/index)?\.html$|(?<=.)\/$/, "") || "/";
    try {
      const page = await book.page(address);
      const text = page ?? (await book.page("/404")) ?? "";
      send(response, page === undefined ? 404 : 200, ".html", watched(text, shown));
    } catch (error) {
      const why = watchWords
        .broken((error as Error).message)
        .replace(/[&<]/g, (sign) => (sign === "&" ? "&amp;" : "&lt;"));
      send(response, 500, ".html", watched(`${bare}<p>${why}</p>`, shown));
    }
  };
  const server = createServer((request, response) => {
    // A page of another site that has this address by another name gets nothing.
    const known = /^(localhost|127\.0\.0\.1)(:\d+)?$/.test(request.headers.host ?? "");
    if (!known || (request.method !== "GET" && request.method !== "HEAD")) return void response.writeHead(403).end();
    answer(request, response).catch(() => response.writeHead(400).end());
  });
  try {
    await new Promise<void>((done, fail) => {
      server.on("error", fail);
      server.listen(port, "127.0.0.1", done);
    });
  } catch (error) {
    watcher.close();
    throw error;
  }
  return {
    address: `http://localhost:${(server.address() as AddressInfo).port}/`,
    stop: () =>
      new Promise((done) => {
        watcher.close();
        server.close(() => done());
        server.closeAllConnections();
      }),
  };
}

/** Does something soon after it was last asked to, and never twice at once. */
function oneByOne(act: () => Promise<void>, failed: (error: Error) => void): () => void {
  let [running, again] = [false, false];
  let timer: NodeJS.Timeout | undefined;
  const run = async (): Promise<void> => {
    again = running;
    if (running) return;
    running = true;
    await act().catch(failed);
    running = false;
    if (again) await run();
  };
  return () => {
    clearTimeout(timer);
    // An editor writes in several steps: they are over within this many milliseconds.
    timer = setTimeout(() => void run(), 30);
  };
}

function linesOf({ path, messages }: VFile): readonly string[] {
  const wrong = messages.filter(({ fatal }) => fatal === true);
  const shown = wrong.slice(0, 3);
  const left = wrong.length - shown.length;
  return [
    ...shown.map(
      ({ line, column, reason, note }) => `${path}:${line ?? 1}:${column ?? 1} ${reason}${note ? `\n  ${note}` : ""}`,
    ),
    ...(left > 0 ? [watchWords.more(left)] : []),
  ];
}

async function assetAt(client: string, path: string): Promise<Buffer | undefined> {
  const file = normalize(join(client, path));
  return file.startsWith(client + sep) ? readFile(file).catch(() => undefined) : undefined;
}

function send(response: ServerResponse, status: number, ending: string, content: string | Buffer): void {
  response.writeHead(status, {
    "content-type": types[ending] ?? "application/octet-stream",
    "cache-control": "no-store",
    // No other site that is open in the browser may have it, as a picture or a script; nor is it ever taken for what it is not.
    "cross-origin-resource-policy": "same-origin",
    "x-content-type-options": "nosniff",
  });
  response.end(content);
}

/** What stands before a page that could not be made: the scripts and styles of watching are all that it may load. */
const bare = `<!doctype html><html lang="en-GB"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'"></head>`;

const types: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".txt": "text/plain; charset=utf-8",
  ".webmanifest": "application/manifest+json",
};
