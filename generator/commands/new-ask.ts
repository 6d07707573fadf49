import type { Kind } from "../records/index.ts";
import { type Question, questionsFor } from "../writing/questions.ts";
import { items, type Tree, valueIn, withValue } from "../writing/tree.ts";
import type { Problem } from "./check.ts";
import { sentenceOf } from "./new-land.ts";

/** Who is asked, and what is known of the record so far. */
export interface Interview {
  readonly kind: Kind;
  readonly tree: Tree;
  /** Fields beside the required ones that are asked for. */
  readonly also: readonly string[];
  /** Fields that were left blank already; what is left blank now is added. */
  readonly left: Set<string>;
  readonly ask: (question: string) => Promise<string | undefined>;
  readonly say: (text: string) => void;
  /** What the checker says of one field of the record as it would be. */
  readonly complaints: (tree: Tree, question: Question) => readonly Problem[];
}

/**
 * Asks one field after the other until nothing is missing. An answer that will not do is told at once and asked for again;
 * a blank leaves out what may be left out. Gives what the record says then, or undefined when whoever was asked has left.
 */
export async function interview({
  kind,
  also,
  left,
  ask,
  say,
  complaints,
  ...begun
}: Interview): Promise<Tree | undefined> {
  let { tree } = begun;
  while (true) {
    const question = questionsFor(kind, tree, also).find(
      ({ path }) => valueIn(tree, path) === undefined && !left.has(path.join(".")),
    );
    if (!question) return tree;
    say(told(question));
    const answered = await answerTo(question, tree, { ask, say, complaints });
    if (answered === undefined) return undefined;
    if (answered === tree) left.add(question.path.join("."));
    tree = answered;
  }
}

async function answerTo(
  question: Question,
  tree: Tree,
  { ask, say, complaints }: Pick<Interview, "ask" | "say" | "complaints">,
): Promise<Tree | undefined> {
  while (true) {
    const answer = (await ask("> "))?.trim();
    if (answer === undefined) return undefined;
    if (answer === "" && !question.required) return tree;
    const value = question.many ? items(answer) : answer;
    const blank = value.length === 0;
    const next = blank ? tree : withValue(tree, question.path, value);
    const found = complaints(next, question).filter(({ severity }) => severity !== "info");
    for (const problem of found) say(`  ${sentenceOf(problem)}`);
    if (!blank && !found.some(({ severity }) => severity === "error")) return next;
  }
}

/** A question as it stands on the screen: what is asked, what it means, and what an answer looks like. */
function told({ label, path, required, many, meta, example }: Question): string {
  const { help, unit, words, refers } = meta;
  const measured = unit && unit !== "pH" ? `In ${unit}, ` : "";
  const lines = [
    help,
    words && `One of ${words.join(", ")}.`,
    meta.form === "flag" ? "yes or no." : undefined,
    refers && `The name of a file of ${refers}/, without its ending.`,
    many ? "Several are parted by commas, or by semicolons where a comma stands in one." : undefined,
    example !== undefined && !words && meta.form !== "flag"
      ? `${measured}${measured ? "such" : "Such"} as ${example}`
      : undefined,
  ];
  return [
    "",
    `${label} (${path.join(".")})${required ? "" : ", may be left blank"}`,
    ...lines.filter((line) => typeof line === "string").map((line) => `  ${line}`),
  ].join("\n");
}
