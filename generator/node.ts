import { readdir, readFile } from "node:fs/promises";
import { join, relative, resolve, sep } from "node:path";
import { VFile } from "vfile";
import { bind, kindNames, type Library, type Shelves } from "./library.ts";
import { at, sayName } from "./records/front-matter.ts";
import { Book, type Entry, type Kind, kinds, parse } from "./records/index.ts";
import { checkLibrary } from "./rules/index.ts";

/** A folder read: the files with what was found wrong in them, and the library when nothing stops it. */
export interface Loaded {
  readonly library: Library | undefined;
  readonly files: readonly VFile[];
}

/** Reads and checks the records of a folder, in the order of their names, whatever the disk's order is. */
export async function load(folder: string): Promise<Loaded> {
  return check(await read(folder));
}

/** The Markdown files of a book: `book.md` and one folder a kind. Paths are relative to `folder`, with `/`. */
export async function read(folder: string): Promise<readonly VFile[]> {
  const root = resolve(folder);
  const names = (await readdir(root, { recursive: true, withFileTypes: true }))
    .filter((entry) => entry.isFile() && entry.name.endsWith(".md"))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join("/"))
    .filter((name) => name === "book.md" || kindNames.some((kind) => name.startsWith(`${kind}/`)))
    .sort();
  return Promise.all(
    names.map(async (name) => new VFile({ cwd: root, path: name, value: await readFile(join(root, name)) })),
  );
}

/** Checks the files of a book: each by itself, then what is wrong between them. Problems are the files' own messages. */
export function check(files: readonly VFile[]): Loaded {
  const records = Object.fromEntries(kindNames.map((kind) => [kind, [] as Entry<never>[]])) as unknown as Record<
    Kind,
    Entry<never>[]
  >;
  const ids = Object.fromEntries(kindNames.map((kind) => [kind, new Map<string, VFile>()])) as Record<
    Kind,
    Map<string, VFile>
  >;
  let book: Entry<Book> | undefined;
  for (const file of files) {
    if (file.path === "book.md") {
      book = parse(file, Book);
      continue;
    }
    const kind = file.path.split("/")[0] as Kind;
    const named = sayName(file);
    const entry = parse(file, kinds[kind]);
    const taken = ids[kind].get((file.stem ?? "").toLowerCase());
    if (taken)
      at(file, 1, {
        rule: "id-twice",
        written: file.stem ?? "",
        expected: "a name of its own",
        note: `${taken.path} is called the same.`,
      });
    else ids[kind].set((file.stem ?? "").toLowerCase(), file);
    if (entry && named && !taken) records[kind].push(entry as Entry<never>);
  }
  const all = files.some(({ path }) => path === "book.md") ? files : [...files, missingBook()];
  const known = Object.fromEntries(
    kindNames.map((kind) => [kind, new Set([...ids[kind].values()].map(({ stem }) => stem ?? ""))]),
  ) as Record<Kind, Set<string>>;
  const library = bind({ book, records } as Shelves);
  if (library) checkLibrary(library, known);
  const stopped = all.some(({ messages }) => messages.some(({ fatal }) => fatal === true));
  return { library: stopped ? undefined : library, files: all };
}

function missingBook(): VFile {
  const file = new VFile({ path: "book.md", value: "" });
  at(file, 1, {
    rule: "book-missing",
    expected: "`book.md` beside the folders of records",
    note: "It says whose book this is, where the yard stands, and when it sows and posts.",
  });
  return file;
}
