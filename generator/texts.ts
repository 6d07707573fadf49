import { extname } from "node:path";
import { gunzipSync, inflateRawSync, inflateSync } from "node:zlib";
import { unzipSync } from "fflate";
import type { OutputText } from "./guard.ts";

/**
 * All text that someone can get out of a file: its name; its words as a browser, a calendar or a table shows them; what is
 * packed in it, such as the parts of a search written into scripts, the members of a zip, the streams of a PDF file and the
 * remarks in a picture, each unpacked. The shapes of letters in a PDF file are not read.
 */
export function textsIn(file: string, bytes: Uint8Array): readonly OutputText[] {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const ending = extname(file);
  const named = { file, text: file };
  if (ending === ".zip") return [named, ...members(file, bytes)];
  if (binary.has(ending)) return [named, ...[...forms(buffer)].map((text) => ({ file, text }))];
  const text = buffer.toString("utf8");
  const packed = [...text.matchAll(/[A-Za-z0-9+/]{64,}={0,2}/g)].map(([run]) => ({
    file,
    text: unpacked(Buffer.from(run, "base64")),
  }));
  return [named, ...plain(text, ending).map((text) => ({ file, text })), ...packed];
}

/** What is a file of letters and what is not goes by its ending, as it does for those who open it. */
const binary = new Set([
  ".woff2",
  ".png",
  ".jpg",
  ".ico",
  ".wasm",
  ".gz",
  ".pdf",
  ".pf_meta",
  ".pf_index",
  ".pf_fragment",
  ".pagefind",
]);

function members(file: string, bytes: Uint8Array): readonly OutputText[] {
  return Object.entries(unzipSync(bytes)).flatMap(([name, content]) => textsIn(`${file}/${name}`, content));
}

/** Bytes as letters of one and of two bytes, and every packed stream that begins somewhere in them. */
function* forms(bytes: Buffer): Iterable<string> {
  yield bytes.toString("utf8");
  for (const from of [0, 1]) {
    const pairs = Buffer.from(bytes.subarray(from, bytes.length - ((bytes.length - from) % 2)));
    yield pairs.toString("utf16le");
    yield pairs.swap16().toString("utf16le");
  }
  const whole = unpacked(bytes);
  if (whole !== bytes.toString("utf8")) yield whole;
  for (const [first, seconds, open] of streams)
    for (let at = bytes.indexOf(first); at >= 0; at = bytes.indexOf(first, at + 1)) {
      if (!seconds.includes(bytes[at + 1] ?? 0)) continue;
      try {
        yield open(bytes.subarray(at)).toString("utf8");
      } catch {
        // It only looks like the beginning of one.
      }
    }
}

/** How a stream begins. @see Deutsch and Gailly 1996, RFC 1950, section 2.2; Deutsch 1996, RFC 1952, section 2.3.1 */
const streams: readonly (readonly [first: number, seconds: readonly number[], open: (bytes: Buffer) => Buffer])[] = [
  [0x78, [0x01, 0x5e, 0x9c, 0xda], inflateSync],
  [0x1f, [0x8b], gunzipSync],
];

/** The text inside bytes that may be compressed as a whole. */
function unpacked(bytes: Buffer): string {
  for (const open of [gunzipSync, inflateRawSync]) {
    try {
      return open(bytes).toString("utf8");
    } catch {
      // Not compressed in this way.
    }
  }
  return bytes.toString("utf8");
}

/**
 * Text without what is undone before anyone reads it: entities of pages, escapes of scripts, folds of a calendar. A page is read
 * with its tags, without them, and with a blank for each.
 */
function plain(text: string, ending: string): readonly string[] {
  if (ending === ".html" || ending === ".svg" || ending === ".xml") {
    // Places in a drawing are figures that mean nothing.
    const bare = text.replace(/ (?:d|points|viewBox|transform|x|y|x1|x2|y1|y2|cx|cy|r|width|height)="[^"]*"/g, " ");
    const decoded = bare
      .replace(/&#x([0-9a-f]+);/gi, (_, hex: string) => letter(Number.parseInt(hex, 16)))
      .replace(/&#(\d+);/g, (_, code: string) => letter(Number(code)))
      .replace(/&(amp|lt|gt|quot|apos|nbsp);/g, (_, name: string) => entities[name] ?? " ");
    return [decoded, decoded.replace(/<[^>]*>/g, ""), decoded.replace(/<[^>]*>/g, " ")];
  }
  const unfolded = ending === ".ics" ? text.replace(/\r?\n[ \t]/g, "").replace(/\\([,;\\])/g, "$1") : text;
  const written = unfolded
    .replace(/\\u\{?([0-9a-f]{4,6})\}?/gi, (_, hex: string) => letter(Number.parseInt(hex, 16)))
    .replace(/\\x([0-9a-f]{2})/gi, (_, hex: string) => letter(Number.parseInt(hex, 16)))
    .replace(/\\[nrt]/gi, " ");
  return [written];
}

function letter(code: number): string {
  return code > 0x10ffff ? " " : String.fromCodePoint(code);
}

const entities: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'", nbsp: " " };
