import { VFile } from "vfile";
import { kindNames } from "../../generator/library.ts";
import { Book, type Kind, kinds, read } from "../../generator/records/index.ts";
import { nearest } from "../../generator/records/nearest.ts";
import { fieldNames } from "../../generator/records/walk.ts";
import type { Around, Draft } from "./checked.ts";
import { editWords } from "./words.ts";

/** The record that an address asks for, and whether the book has it. */
export interface Asked {
  readonly kind: Draft["kind"];
  /** The file's name with its ending. */
  readonly name: string;
  readonly known: boolean;
  /** The record that was most likely meant, `crops/basil-sweet`, when the book has none of this name. */
  readonly near: string | undefined;
}

/** What `?record=crops/basil-sweet` asks for; undefined when it asks for nothing that can be a record. */
export function askedFor(search: string, { ids }: Pick<Around, "ids">): Asked | undefined {
  const record = new URLSearchParams(search).get("record") ?? "";
  if (record === "book") return { kind: "book", name: "book.md", known: true, near: undefined };
  const [, kind = "", id = ""] = /^([a-z]+)\/([a-z0-9-]+)$/.exec(record) ?? [];
  if (!isKind(kind)) return undefined;
  const near = nearest(id, ids[kind]);
  const known = ids[kind].includes(id);
  return { kind, name: `${id}.md`, known, near: known || near === undefined ? undefined : `${kind}/${near}` };
}

/** Which file to pick. */
export function wantedSays(asked: Asked | undefined): string {
  const { wanted, wantedAny, unknownRecord } = editWords;
  if (!asked) return wantedAny;
  return asked.known ? wanted(fileName(asked)) : unknownRecord(fileName(asked).replace(/\.md$/, ""), asked.near);
}

/** What a file that was opened is taken for, and what is to be said of that. */
export function takenFor(name: string, text: string, wanted: Asked | undefined, around: Around) {
  const { opened } = editWords;
  const asked = wanted?.name === name ? wanted.kind : undefined;
  const named = kindNamed(name, around);
  const kind = asked ?? named;
  const other = kindByFields(text, kind);
  const says = [
    wanted && !asked ? opened.asked(fileName({ kind, name }), fileName(wanted)) : "",
    !asked && named && named !== "book" ? opened.guessed(named) : "",
    name.endsWith(".md") ? "" : opened.ending,
    /^---\s*$/.test(text.split("\n", 1)[0]!) ? "" : opened.noRecord,
    other ? opened.otherKind(other) : "",
  ];
  return { kind, says: says.filter((sentence) => sentence !== "") };
}

/** A file as people know it: its folder and its name. */
export function fileName({ kind, name }: { readonly kind: Draft["kind"] | undefined; readonly name: string }): string {
  return kind === undefined || kind === "book" ? name : `${kind}/${name}`;
}

/** The kind of a file by its name alone: the only kind of which the book has a record so called; undefined for none or several. */
export function kindNamed(name: string, { ids }: Pick<Around, "ids">): Draft["kind"] | undefined {
  if (name === "book.md") return "book";
  const found = kindNames.filter((kind) => ids[kind].includes(name.replace(/\.md$/, "")));
  return found.length === 1 ? found[0] : undefined;
}

/**
 * The kind that a text's fields speak for, when they speak for it clearly louder than for `kind`: two fields more at the least.
 * Undefined when they do not, or cannot be read.
 */
export function kindByFields(text: string, kind: Draft["kind"] | undefined): Kind | undefined {
  const raw = read(new VFile({ value: text }), Book)?.raw;
  if (!raw) return undefined;
  const written = Object.keys(raw);
  const known = (schema: (typeof kinds)[Kind] | typeof Book) => {
    const names = fieldNames(schema, raw);
    return written.filter((name) => names.includes(name)).length;
  };
  const counts = kindNames.map((one) => [one, known(kinds[one])] as const).sort(([, a], [, b]) => b - a);
  const [best, second] = counts;
  const least = kind === undefined ? second![1] : known(kind === "book" ? Book : kinds[kind]);
  return best![0] !== kind && best![1] >= least + 2 ? best![0] : undefined;
}

/** Whether a word is the folder of a kind of record. */
export function isKind(word: string): word is Kind {
  return (kindNames as readonly string[]).includes(word);
}
