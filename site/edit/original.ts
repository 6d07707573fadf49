import { lineChanges } from "./changes.ts";

/** A record's file as it was opened, and as an editing field holds it: without the mark at its start, lines ending in `\n`. */
export interface Original {
  readonly file: string;
  readonly text: string;
}

/** A file's bytes as text; undefined when they are no UTF-8, so that nothing is ever lost by writing them back. */
export function originalOf(bytes: Uint8Array): Original | undefined {
  try {
    return original(new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes));
  } catch {
    return undefined;
  }
}

/** The same of a file that is text already. */
export function original(file: string): Original {
  return { file, text: file.replace(/^\uFEFF/, "").replace(/\r\n|\r/g, "\n") };
}

/**
 * The whole file for what the field holds now: the mark at its start stays, every line that stood keeps the end that it had,
 * and a new line ends as the one above it.
 */
export function fileOf({ file, text }: Original, now: string): string {
  if (now === text) return file;
  const mark = file.startsWith("\uFEFF") ? "\uFEFF" : "";
  const ends = [...file.matchAll(/\r\n|\r|\n/g)].map(([end]) => end);
  const kept = lineChanges(text.split("\n"), now.split("\n")).flatMap(({ kind, lines, was }) =>
    kind === "out" ? [] : lines.map((line, index) => ({ line, end: kind === "same" ? ends[was + index] : undefined })),
  );
  let above = ends[0] ?? "\n";
  const lines = kept.map(({ line, end }, index) => {
    above = end ?? above;
    return index === kept.length - 1 ? line : line + above;
  });
  return mark + lines.join("");
}
