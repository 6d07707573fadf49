import type { Problem } from "./checked.ts";
import { button, made } from "./made.ts";
import { mendOf } from "./mend.ts";
import { editWords } from "./words.ts";

/** What a press on a problem does. */
export interface Ways {
  goTo(line: number, column: number): void;
  mend(problem: Problem): void;
}

/** What the checker says, by place: each with a way to its line, and the nearest word to be put in where there is one. */
export function problemItems(problems: readonly Problem[], text: string, ways: Ways): readonly HTMLElement[] {
  const items = problems.slice(0, most).map((problem) => {
    const { severity, line, column, message, note } = problem;
    const mend = mendOf(text, problem);
    const place = button(editWords.place(line, column), () => ways.goTo(line, column), { class: "to" });
    place.append(made("span", { class: "unseen" }, editWords.go));
    const sign = made("span", { class: "sort" }, made("b", { "aria-hidden": "true" }, editWords.sign[severity]), " ");
    sign.append(editWords.severity[severity]);
    const says = made("span", { class: "says" }, `${message}${/[.?!]$/.test(message) ? "" : "."}`);
    const item = made("li", { class: severity }, made("p", { class: "where" }, sign, " ", place, " "), says);
    if (note) item.append(" ", made("span", { class: "note" }, note));
    if (mend)
      item.append(
        made(
          "p",
          {},
          button(editWords.putIn(mend.put), () => ways.mend(problem)),
        ),
      );
    return item;
  });
  const rest = problems.length - items.length;
  return rest > 0 ? [...items, made("li", {}, editWords.more(rest))] : items;
}

/** How many there are of each sort, in words; what is said of a record that has none when there are none. */
export function countOf(problems: readonly Problem[]): string {
  const of = (severity: Problem["severity"]) => problems.filter((problem) => problem.severity === severity).length;
  return editWords.count(of("error"), of("warning"), of("info")) || editWords.none;
}

/** So many are listed at once; more of them are counted. */
const most = 60;
