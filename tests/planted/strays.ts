import { deflateSync } from "node:zlib";
import type { Plant } from "../planted.ts";

/** A file that lies among the records and is none. */
export interface Stray {
  readonly path: string;
  readonly bytes: Uint8Array;
}

/** Pictures with remarks in them, notes, hidden files and what editors leave behind: each with a canary in name and bytes. */
export function strays(planting: (record: string) => Plant): readonly Stray[] {
  const made: Stray[] = [];
  for (const folder of ["crops", "guides", "lots", "trials", "", ".schema", "pictures"])
    for (const [ending, bytes] of Object.entries(forms)) {
      const record = `${folder === "" ? "" : `${folder}/`}*${ending}`;
      const canary = planting(record);
      const name = canary("the name of a file that is no record", "its name", true);
      const word = canary("a file that is no record", "its bytes", true);
      const file = ending.startsWith(".") && ending.endsWith(".swp") ? `.${name}.swp` : `${name}${ending}`;
      made.push({ path: folder === "" ? file : `${folder}/${file}`, bytes: bytes(word) });
    }
  return made;
}

const forms: Readonly<Record<string, (word: string) => Uint8Array>> = {
  ".jpg": (word) => jpeg(word),
  ".png": (word) => png(word),
  ".txt": (word) => Buffer.from(`Nobody else need know of ${word}.\n`),
  ".md~": (word) => Buffer.from(`---\nname: ${word}\naudience: everyone\n---\n\n${word}\n`),
  ".md.bak": (word) => Buffer.from(`---\nname: ${word}\naudience: everyone\n---\n\n${word}\n`),
  ".html": (word) => Buffer.from(`<p>${word}</p>`),
  ".json": (word) => Buffer.from(JSON.stringify({ word })),
  ".swp": (word) => Buffer.from(`b0VIM ${word}`),
};

/** A picture of nothing with a remark in its Exif part. @see JEITA CP-3451, section 4.5.4: the field 0x010e, ImageDescription */
function jpeg(word: string): Buffer {
  const text = Buffer.from(`${word}\0`);
  const field = Buffer.alloc(18);
  field.writeUInt16BE(1, 0);
  field.writeUInt16BE(0x010e, 2);
  field.writeUInt16BE(2, 4);
  field.writeUInt32BE(text.length, 6);
  field.writeUInt32BE(26, 10);
  const exif = Buffer.concat([Buffer.from("Exif\0\0"), Buffer.from([0x4d, 0x4d, 0, 0x2a, 0, 0, 0, 8]), field, text]);
  const size = Buffer.alloc(2);
  size.writeUInt16BE(exif.length + 2);
  return Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe1]), size, exif, Buffer.from([0xff, 0xd9])]);
}

/** A picture of nothing with a remark, plain and packed. @see ISO/IEC 15948:2004, sections 11.3.4.3 and 11.3.4.4 */
function png(word: string): Buffer {
  const chunk = (type: string, data: Uint8Array) => {
    const length = Buffer.alloc(4);
    length.writeUInt32BE(data.length);
    return Buffer.concat([length, Buffer.from(type), data, Buffer.alloc(4)]);
  };
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk("tEXt", Buffer.from(`Comment\0${word}`)),
    chunk("zTXt", Buffer.concat([Buffer.from("Comment\0\0"), deflateSync(Buffer.from(word))])),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}
