import { asName } from "../records/file-name.ts";
import { type Kind, kinds } from "../records/index.ts";
import { choiceOf } from "../records/walk.ts";
import { idFor, singly } from "../writing/name.ts";
import { type Question, questionAt } from "../writing/questions.ts";
import { recordText } from "../writing/record.ts";
import { type Tree, withoutValue } from "../writing/tree.ts";
import { type Problem, report } from "./check.ts";
import type { World } from "./command.ts";
import { interview } from "./new-ask.ts";
import { optionFor } from "./new-fields.ts";
import { type Book, checkedWith, type Fresh, isTaken, saidOf, sentenceOf } from "./new-land.ts";

/** A record that the checker has nothing against, with what should be looked at twice. */
export interface Drafted extends Fresh {
  readonly notes: readonly Problem[];
}

/** What is known of a record that is to be written. */
export interface Begun {
  readonly kind: Kind;
  /** The name of its file; made from what it says where none is given. */
  readonly id: string | undefined;
  readonly tree: Tree;
  readonly source: string | undefined;
  /** Fields that are asked for although they may be left out. */
  readonly also: readonly string[];
  readonly book: Book;
}

/**
 * Asks for what is missing where somebody can be asked, and has the whole book checked with the record; what it stops is
 * asked for again. Gives the record once nothing stops it, else the exit code, when all that is wrong is told.
 */
export async function drafted(begun: Begun, world: World): Promise<Drafted | number> {
  const { kind, id, source, book } = begun;
  const fresh = (tree: Tree): Fresh => ({
    path: `${kind}/${id ?? freeName(book, kind, idFor(kind, tree) || "new-record")}.md`,
    text: recordText({ kind, tree, source, guided: true }),
  });
  const also = [...begun.also];
  const left = new Set<string>();
  let { tree } = begun;
  if (world.ask) world.err(`New in ${kind}/. A blank leaves out what may be left out; Ctrl-C writes nothing.`);
  while (true) {
    if (world.ask) {
      const complaints = (next: Tree, question: Question) => complaintsOn(book, kind, fresh(next), question);
      const answered = await interview({ kind, tree, also, left, ask: world.ask, say: world.err, complaints });
      if (!answered) return stopped(world);
      tree = answered;
    }
    const draft = fresh(tree);
    const { library, files } = checkedWith(book, [draft]);
    const said = saidOf(files, draft.path);
    if (library) {
      const path = id === undefined ? await pathFor(kind, tree, book, world) : draft.path;
      return typeof path === "number" ? path : { ...draft, path, notes: said };
    }
    const errors = said.filter(({ severity }) => severity === "error");
    const again = errors.flatMap(({ field }) => questionAt(kind, (field ?? "").split("."), tree) ?? []);
    if (!world.ask || again.length === 0) return sayErrors(kind, tree, errors, () => report(files), world);
    for (const problem of errors) world.err(`  ${sentenceOf(problem)}`);
    for (const { path } of again) {
      tree = withoutValue(tree, path);
      also.push(path.join("."));
      left.delete(path.join("."));
    }
  }
}

/** Why a file cannot be written under a name that another has. */
export function taken(path: string): string {
  return `There is a file ${path} already, and nothing is written over it. Say another name behind the kind`;
}

/** What the checker says of one answer. For speed it looks at the records of the same kind and of the kind that is named. */
function complaintsOn(book: Book, kind: Kind, fresh: Fresh, { path, meta }: Question): readonly Problem[] {
  const near = (file: string) => file === "book.md" || [kind, meta.refers].includes(file.split("/")[0]!);
  const { files } = checkedWith(book, [fresh], near);
  const dotted = path.join(".");
  return saidOf(files, fresh.path).filter(({ field }) => field === dotted || field?.startsWith(`${dotted}.`));
}

/** The path of a file whose name nobody gave; where none can be made, or another has it, it is asked for or refused. */
async function pathFor(kind: Kind, tree: Tree, book: Book, world: World): Promise<string | number> {
  const made = idFor(kind, tree);
  const path = `${kind}/${made}.md`;
  if (made !== "" && !isTaken(book, path)) return path;
  if (!world.ask) {
    world.err(
      made === ""
        ? `No file name can be made from what ${singly(kind)} says here. Say one behind the kind, in small letters, digits and hyphens.`
        : `${taken(path)}.`,
    );
    return made === "" ? 2 : 3;
  }
  world.err(
    `\nName of the file\n  ${made === "" ? "None can be made from its fields" : `There is a file ${path} already`}.`,
  );
  while (true) {
    const answer = (await world.ask("> "))?.trim();
    if (answer === undefined) return stopped(world);
    const better = asName(answer);
    if (better === "" || better !== answer)
      world.err(
        `  Unexpected ${answer || "blank"}, expected small letters, digits and hyphens${better && `, such as ${better}`}.`,
      );
    else if (isTaken(book, `${kind}/${answer}.md`)) world.err(`  There is a file ${kind}/${answer}.md already.`);
    else return `${kind}/${answer}.md`;
  }
}

/** A name that no file has, to be checked under. */
function freeName(book: Book, kind: Kind, name: string): string {
  return isTaken(book, `${kind}/${name}.md`) ? freeName(book, kind, `${name}-new`) : name;
}

/** Tells all that stops a record, by the option that would mend it: 2 when something is missing, else 1. */
function sayErrors(kind: Kind, tree: Tree, errors: readonly Problem[], whole: () => string, { err }: World): number {
  const choice = choiceOf(kinds[kind])?.discriminator;
  // Until it is known what kind of gear it is, nobody can say what else is missing.
  const unsettled = choice !== undefined && tree[choice] === undefined;
  const told = unsettled
    ? errors.filter(({ field }) => field === choice).map((problem) => ({ ...problem, note: null }))
    : errors;
  if (told.length === 0) err(whole());
  else {
    const options = told.map(({ field }) => (field === null ? kind : optionFor(field.split("."))));
    err(told.map((problem, index) => `${options[index]}: ${sentenceOf(problem)}`).join("\n"));
  }
  err("Nothing was written.");
  return told.some(({ rule }) => rule === "field-missing" || rule === "citation-missing") ? 2 : 1;
}

function stopped({ err }: World): number {
  err("\nNothing was written: it was stopped before all was answered.");
  return 3;
}
