import { fileURLToPath } from "node:url";
import { deflateSync, gzipSync } from "node:zlib";
import { zipSync } from "fflate";
import { beforeAll, describe, expect, it } from "vitest";
import { ownWords } from "../generator/build.ts";
import { type Leak, leaks } from "../generator/guard.ts";
import type { Library } from "../generator/library.ts";
import { check, load, read } from "../generator/node.ts";
import { textsIn } from "../generator/texts.ts";
import { type Canary, type Place, plant } from "./planted.ts";

const demo = fileURLToPath(new URL("../content", import.meta.url));
const bytes = (text: string) => new TextEncoder().encode(text);
const chunk = (type: string, data: Uint8Array) => {
  const length = Buffer.alloc(4);
  length.writeUInt32BE(data.length);
  return Buffer.concat([length, Buffer.from(type), data, Buffer.alloc(4)]);
};
const png = (...chunks: Buffer[]) =>
  Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    ...chunks,
    chunk("IEND", Buffer.alloc(0)),
  ]);
const utf16 = (text: string) => Buffer.from(text, "utf16le").swap16();
const folded = (line: string) => line.replace(/(.{20})/g, "$1\r\n ");
const escaped = (text: string) =>
  [...text].map((sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`).join("");
const entities = (text: string) => [...text].map((sign) => `&#${sign.codePointAt(0)};`).join("");

/** Each way in which words can sit in a file that customers get: the file, and its bytes with the words in it. */
const channels: Readonly<Record<string, readonly [file: string, content: (words: string) => Uint8Array]>> = {
  "a page": ["crops/x.html", (words) => bytes(`<p>Sown from ${words} seed</p>`)],
  "a page, letter by letter": ["crops/x.html", (words) => bytes(`<p>${entities(words)}</p>`)],
  "a page, with marks between": ["crops/x.html", (words) => bytes(`<p>${words.replace(" ", "</b> <i>")}</p>`)],
  "an attribute": ["crops/x.html", (words) => bytes(`<img alt="${words}">`)],
  "a remark in a page": ["crops/x.html", (words) => bytes(`<!-- ${words} -->`)],
  "the name of a file": ["", () => bytes("")],
  "a style": ["s.css", (words) => bytes(`/* ${words} */`)],
  "a script": ["s.js", (words) => bytes(`const a = "${words}";`)],
  "a script, escaped": ["s.js", (words) => bytes(`const a = "${escaped(words)}";`)],
  "a source map": ["s.js.map", (words) => bytes(JSON.stringify({ sourcesContent: [`// a\n${words}\nb`] }))],
  "the list of an offline script": ["offline.js", (words) => bytes(`self.files=["crops/${words}.html"]`)],
  "a manifest": ["book.webmanifest", (words) => bytes(JSON.stringify({ description: words }))],
  "JSON, after a new line": ["crops.json", (words) => bytes(JSON.stringify({ a: `x\n${words}` }))],
  "a table": ["crops.csv", (words) => bytes(`a,b\r\n"${words}",1\r\n`)],
  "a calendar, folded": ["yard.ics", (words) => bytes(folded(`DESCRIPTION:sown from ${words.replace(/,/g, "\\,")}`))],
  "a drawing": ["d.svg", (words) => bytes(`<svg><title>${words}</title></svg>`)],
  "a part of the search": [
    "pack/a.js",
    (words) =>
      bytes(
        `hand("${gzipSync(bytes(`Words of a page that nobody need keep to themselves, one after the other. ${words}`)).toString("base64")}")`,
      ),
  ],
  "a remark in a picture": ["a.png", (words) => png(chunk("tEXt", bytes(`Comment\0${words}`)))],
  "a packed remark in a picture": [
    "a.png",
    (words) => png(chunk("zTXt", Buffer.concat([bytes("Comment\0\0"), deflateSync(bytes(words))]))),
  ],
  "the title of a PDF file": [
    "a.pdf",
    (words) => Buffer.concat([bytes("%PDF-1.4 /Title ("), Buffer.from([0xfe, 0xff]), utf16(words), bytes(")")]),
  ],
  "a stream of a PDF file": [
    "a.pdf",
    (words) =>
      Buffer.concat([bytes("%PDF-1.4\nstream\n"), deflateSync(bytes(`BT (${words}) Tj ET`)), bytes("\nendstream")]),
  ],
  "a member of a zip": ["customer.zip", (words) => zipSync({ "customer/index.html": bytes(`<p>${words}</p>`) })],
  "the name of a member of a zip": ["customer.zip", (words) => zipSync({ [`customer/${words}.html`]: bytes("") })],
  "a page in a zip in a zip": [
    "a.zip",
    (words) => zipSync({ "b.zip": zipSync({ "c.html": bytes(`<p>${words}</p>`) }) }),
  ],
};

describe("a private name planted in", () => {
  let library: Library;
  let lot: { readonly id: string; readonly supplier: string };

  beforeAll(async () => {
    library = (await load(demo)).library!;
    const found = [...library.lots.values()].find(({ fields }) => fields.supplier !== undefined)!;
    lot = { id: found.id, supplier: found.fields.supplier! };
  });

  it.each(Object.entries(channels))("%s is found, with its record, field and file", (_channel, [name, content]) => {
    const file = name === "" ? `crops/${lot.supplier}.html` : name;
    const found = leaks(library, textsIn(file, content(lot.supplier)), []);
    expect(found.map(({ record, field }) => ({ record, field }))).toContainEqual({
      record: `lots/${lot.id}.md`,
      field: "supplier",
    });
    expect(found.every((leak) => leak.file.startsWith(file))).toBe(true);
    // The same file without it gives nothing away: it is the name that was found.
    const clean = textsIn(name === "" ? "crops/x.html" : name, content("a good grower"));
    expect(leaks(library, clean, [])).toEqual([]);
  });
});

describe("of a book with a canary in every private place", () => {
  /** What is no part of a record that was read, and what is too short to be told from any other word. */
  const unseen: readonly Place[] = ["a file that is no record", "the name of a file that is no record", "initials"];
  const leaked = new Map<string, readonly Leak[]>();
  let canaries: readonly Canary[] = [];

  beforeAll(async () => {
    const planted = plant(await read(demo));
    canaries = planted.canaries.filter(({ place }) => !unseen.includes(place));
    // The line of its file that a canary is in is what gets out.
    const lines = new Map(
      planted.files.flatMap((file) =>
        String(file)
          .split("\n")
          .flatMap((line) =>
            [...line.matchAll(/canary\d+qz|73\d{3}(?=\.41 )/g)].map(
              ([word]) => [`${file.path} ${word}`, line] as const,
            ),
          ),
      ),
    );
    const outputs = canaries.map(({ word, record }) => ({
      file: `crops/${word}.html`,
      text: record.endsWith(`${word}.csv`) ? record : (lines.get(`${record} ${word}`) ?? word),
    }));
    for (const leak of leaks(check(planted.files).library!, outputs, await ownWords()))
      leaked.set(leak.file, [...(leaked.get(leak.file) ?? []), leak]);
  });

  it("each, when it gets out, is caught with its record", () => {
    expect(canaries.length).toBeGreaterThan(10_000);
    const beside = (record: string) => record.replace(/\.csv$/, ".md");
    const missed = canaries.filter(({ word, record, place }) => {
      const found = leaked.get(`crops/${word}.html`) ?? [];
      // The table beside a trial is told as the trial that reads it.
      if (place === "the measurements of a trial" || record.endsWith(".csv")) return found.length === 0;
      return !found.some((leak) => leak.record === beside(record));
    });
    expect(missed).toEqual([]);
  });

  it.each(["a private field", "an unknown field", "a price"] as const)("%s is caught with its name", (place) => {
    const of = canaries.filter((canary) => canary.place === place && !canary.record.endsWith(".csv"));
    const missed = of.filter(({ word, field }) => {
      const found = leaked.get(`crops/${word}.html`) ?? [];
      // An item of a list is told with its number.
      return !found.some((leak) => [leak.field, leak.field.replace(/\.\d+(?=\.|$)/g, "")].includes(field));
    });
    expect(of.length).toBeGreaterThan(40);
    expect(missed).toEqual([]);
  });
});
