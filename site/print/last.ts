import { createHash } from "node:crypto";
import { chmod, readFile, rename, rm, writeFile } from "node:fs/promises";
import { deserialize, serialize } from "node:v8";
import { constants, zstdCompressSync, zstdDecompressSync } from "node:zlib";
import type { Finished } from "./finish.ts";

/** What was printed the last time, by what it was made from: packed, as a large book has much of it. */
export interface Last {
  /** The program that printed it. */
  readonly program: string;
  /** The pages of each crop, and every other page by its address. */
  readonly pages: ReadonlyMap<string, Packed>;
  /** The files of the search. */
  readonly search: Packed | undefined;
}

/** Something made, under one number for all that it was made from. */
export interface Packed {
  readonly from: string;
  readonly bytes: Uint8Array;
}

/** One number for some data. */
export function digest(...parts: readonly (string | Uint8Array)[]): string {
  const hash = createHash("sha256");
  for (const one of parts) hash.update(one).update("\0");
  return hash.digest("base64url");
}

/** The same for data too large to be written down in one piece: an edition, list by list. */
export function digestOf(program: string, data: object): string {
  const hash = createHash("sha256").update(program);
  for (const [name, value] of Object.entries(data)) {
    hash.update(`\0${name}`);
    for (const item of Array.isArray(value) ? value : [value]) hash.update(`\0${JSON.stringify(item)}`);
  }
  return hash.digest("base64url");
}

export function packed(from: string, made: readonly Finished[] | ReadonlyMap<string, string>): Packed {
  const level = { params: { [constants.ZSTD_c_compressionLevel]: 1 } };
  return { from, bytes: zstdCompressSync(serialize(made), level) };
}

export function unpacked<Made extends readonly Finished[] | ReadonlyMap<string, string>>({ bytes }: Packed): Made {
  return deserialize(zstdDecompressSync(bytes)) as Made;
}

/** What a file holds of the last printing by this program; undefined when there is none, or when it is not whole. */
export async function readLast(file: string, program: string): Promise<Last | undefined> {
  try {
    const bytes = await readFile(file);
    const [sum, body] = [bytes.subarray(0, 32), bytes.subarray(32)];
    if (!createHash("sha256").update(body).digest().equals(sum)) return undefined;
    const last = deserialize(body) as Last;
    return last.program === program ? last : undefined;
  } catch {
    return undefined;
  }
}

/** Writes it down, whole or not at all. It may hold what is private, so nobody else may read it. */
export async function writeLast(file: string, last: Last): Promise<void> {
  const body = serialize(last);
  const draft = file.replace(/[^/\\]+$/, (name) => `last.${process.pid}.${name}`);
  try {
    await writeFile(draft, "", { mode: 0o600 });
    await chmod(draft, 0o600);
    await writeFile(draft, Buffer.concat([createHash("sha256").update(body).digest(), body]));
    await rename(draft, file);
  } catch {
    // A full disk takes the next build's time and nothing else.
    await rm(draft, { force: true });
  }
}
