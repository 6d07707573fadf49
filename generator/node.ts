import { resolve } from "node:path";
import { VFile } from "vfile";
import { bind, kindNames, type Library, type Shelves } from "./library.ts";
import { type Shelves as Disk, isUnread, listing } from "./listing.ts";
import { joining } from "./measurements.ts";
import { sayName } from "./records/file-name.ts";
import { Book, dataName, type Join, type Kind, kinds, type Reading, read as readRecord } from "./records/index.ts";
import { at } from "./records/messages.ts";
import { checkLibrary, type Drafts } from "./rules/index.ts";

/** A folder read: the files with what was found wrong in them, and the library when nothing stops it. */
export interface Loaded {
  readonly library: Library | undefined;
  readonly files: readonly VFile[];
}

/** Reads and checks the records of a folder, in the order of their names, whatever the disk's order is. */
export async function load(folder: string): Promise<Loaded> {
  return check(await read(folder));
}

/**
 * The files of a book: `book.md`, one folder of Markdown a kind, and the CSV files beside the trials. Paths are relative
 * to `folder`, with `/`.
 */
export async function read(folder: string, disk?: Disk): Promise<readonly VFile[]> {
  const isWanted = (name: string) => isMeasurements(name) || (name.endsWith(".md") && isOfKind(name));
  return listing(resolve(folder), kindNames, isWanted, disk);
}

/** What a file gave when it was read by itself: the record as far as it can be read, whether its name will do, what was said. */
interface Alone {
  readonly reading: Reading<never> | undefined;
  readonly named: boolean;
  readonly said: VFile["messages"];
}

/** What was read of files that a later check may be given again; of trials nothing, as what is beside them may change. */
export type Known = WeakMap<VFile, Alone>;

/**
 * Checks the files of a book: each by itself, then what is wrong between them. Problems are the files' own messages. A file
 * that is `known` from an earlier check, the very same, is not read again.
 */
export function check(files: readonly VFile[], known: Known = new WeakMap()): Loaded {
  const all = files.some(({ path }) => path === "book.md") ? files : [...files, missingBook()];
  const taken = byKind(() => new Map<string, VFile>());
  const records = byKind(() => new Map<string, Reading<never>>());
  const beside = measurementsIn(files);
  let book: Reading<Book> | undefined;
  for (const file of files) {
    if (isMeasurements(file.path) || (isUnread(file) && !file.path.includes("/"))) continue;
    if (file.path === "book.md") {
      const read = () => ({ named: true, reading: readRecord(file, Book) as unknown as Reading<never> | undefined });
      book = alone(file, known, read).reading as unknown as Reading<Book> | undefined;
      continue;
    }
    const kind = file.path.split("/")[0] as Kind;
    // A trial is read together with the file of its measurements, which may be another one.
    const { named, reading } = alone(file, kind === "trials" ? new WeakMap() : known, () => ({
      named: sayName(file),
      // What names a record that cannot be read is right all the same.
      reading: isUnread(file)
        ? undefined
        : (readRecord(file, kinds[kind], kind === "trials" ? beside.join : undefined) as Reading<never> | undefined),
    }));
    const stem = file.stem ?? "";
    const first = taken[kind].get(stem.toLowerCase());
    if (first) sayTaken(file, first);
    else taken[kind].set(stem.toLowerCase(), file);
    if (reading && named && !first) records[kind].set(stem, reading);
  }
  beside.sayUnread();
  const names = byKind((kind) => new Set([...taken[kind].values()].map(({ stem }) => stem ?? "")));
  checkLibrary({ book, records } as Drafts, names);
  const stopped = all.some(({ messages }) => messages.some(({ fatal }) => fatal === true));
  const shelves = {
    book: book?.whole,
    records: byKind((kind) => [...records[kind].values()].map(({ whole }) => whole)),
  };
  return { library: stopped ? undefined : bind(shelves as unknown as Shelves), files: all };
}

/** What a file gives by itself, and what is said of it, from the last time or read now. */
function alone(file: VFile, known: Known, read: () => Pick<Alone, "named" | "reading">): Alone {
  const before = known.get(file);
  if (before) {
    file.messages.splice(0, file.messages.length, ...before.said);
    return before;
  }
  const found = read();
  const now = { ...found, said: [...file.messages] };
  if (!isUnread(file)) known.set(file, now);
  return now;
}

function isOfKind(name: string): boolean {
  return name === "book.md" || kindNames.some((kind) => name.startsWith(`${kind}/`));
}

function isMeasurements(name: string): boolean {
  return name.startsWith("trials/") && /\.csv$/i.test(name);
}

/** The CSV files of a book: put into the trial that names each, and told where none does. */
function measurementsIn(files: readonly VFile[]): { readonly join: Join; readonly sayUnread: () => void } {
  const all = new Map(files.filter(({ path }) => isMeasurements(path)).map((file) => [file.path, file]));
  const taken = new Set<string>();
  return {
    join(raw, say) {
      if (typeof raw.data !== "string") return { raw, say };
      const path = `trials/${raw.data.trim()}`;
      const file = all.get(path);
      if (file && !taken.has(path)) {
        taken.add(path);
        return isUnread(file) ? { raw, say } : joining(file)(raw, say);
      }
      // A name that is none is told by the field itself.
      if (dataName.test(raw.data.trim()))
        say(["data"], {
          rule: "data-missing",
          written: raw.data,
          expected: file ? "a file that no other trial reads" : "a CSV file of `trials/`",
          note: file
            ? "Measurements that stand in two trials would count twice."
            : `Write \`${path}\`, or correct the name. Capitals count.`,
        });
      return { raw, say };
    },
    sayUnread() {
      for (const [path, file] of all)
        if (!taken.has(path) && !isUnread(file))
          at(file, 1, {
            rule: "data-unread",
            written: path.slice("trials/".length),
            expected: "a trial that names it below `data`",
            note: "Nothing of it is read. Name it in its trial, or take it out of the folder.",
          });
    },
  };
}

function byKind<Value>(value: (kind: Kind) => Value): Record<Kind, Value> {
  return Object.fromEntries(kindNames.map((kind) => [kind, value(kind)])) as Record<Kind, Value>;
}

function sayTaken(file: VFile, first: VFile): void {
  at(file, 1, {
    rule: "id-twice",
    written: file.stem ?? "",
    expected: "a name of its own",
    note: `\`${first.path}\` is called the same, and a record's name is its address.`,
  });
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
