import type { Problem } from "./checked.ts";
import { made } from "./made.ts";
import { type Mend, placeAt } from "./mend.ts";

/**
 * A text field with its lines numbered and its problems marked. The field is the browser's own, so that every keyboard, voice
 * and screen reader has it; the numbers and marks are drawn below it by a copy of its lines, which nobody reads aloud.
 */
export class Ruled {
  readonly field: HTMLTextAreaElement;
  readonly #host: HTMLElement;
  readonly #copy: HTMLElement;
  #lines: readonly string[] = [];
  #marked: ReadonlyMap<number, readonly Problem[]> = new Map();

  constructor(host: HTMLElement) {
    this.#host = host;
    this.field = host.querySelector("textarea")!;
    this.#copy = host.querySelector<HTMLElement>("[data-copy]")!;
    this.field.addEventListener("input", () => this.#follow());
  }

  get text(): string {
    return this.field.value;
  }

  /** Shows another text; what was typed before cannot be undone back to. */
  show(text: string): void {
    this.field.value = text;
    this.#follow();
  }

  /** Puts something in the place of a stretch as if it were typed, with the cursor behind it: it can be undone. */
  type({ from, to, put }: Mend): void {
    this.field.focus({ preventScroll: true });
    this.field.setSelectionRange(from, to);
    // The only way to change a field that its own undo knows of.
    if (!document.execCommand("insertText", false, put)) this.put({ from, to, put });
  }

  /** The same without the cursor, for what is typed elsewhere on the page. */
  put({ from, to, put }: Mend): void {
    this.field.setRangeText(put, from, to, "preserve");
    this.field.dispatchEvent(new InputEvent("input", { bubbles: true }));
  }

  /** Puts the cursor at a line and a column, both from 1, and brings them into sight. */
  goTo(line: number, column: number): void {
    const place = placeAt(this.text, line, column);
    this.field.focus({ preventScroll: true });
    this.field.setSelectionRange(place, place);
    // A field that scrolls by itself shows its cursor as it is entered.
    if (this.#isLong) this.field.blur();
    this.field.focus({ preventScroll: true });
    this.#copy.children[line - 1]?.scrollIntoView({ block: "center" });
  }

  /** Marks problems at their lines, and no others. */
  mark(problems: readonly Problem[]): void {
    const marked = new Map<number, Problem[]>();
    for (const problem of problems) marked.set(problem.line, [...(marked.get(problem.line) ?? []), problem]);
    const lines = new Set([...this.#marked.keys(), ...marked.keys()]);
    this.#marked = marked;
    for (const line of lines) {
      const row = this.#copy.children[line - 1];
      row?.replaceWith(this.#row(this.#lines[line - 1] ?? "", marked.get(line)));
    }
  }

  /** Past the length of any record a text is shown bare, so that typing does not wait for the drawing. */
  get #isLong(): boolean {
    return this.text.length > longest;
  }

  /** Only lines that changed are drawn anew; the marks below them move with their lines until the next check. */
  #follow(): void {
    this.#host.toggleAttribute("data-long", this.#isLong);
    if (this.#isLong) {
      this.#lines = [];
      this.#copy.replaceChildren();
      return;
    }
    const lines = this.text.split("\n");
    const [was, now] = [this.#lines.length, lines.length];
    const shorter = Math.min(was, now);
    let [head, tail] = [0, 0];
    while (head < shorter && lines[head] === this.#lines[head]) head++;
    while (tail < shorter - head && lines[now - 1 - tail] === this.#lines[was - 1 - tail]) tail++;
    this.#lines = lines;
    this.#marked = moved(this.#marked, { head, was: was - tail, by: now - was });
    const fresh = document.createDocumentFragment();
    for (const line of lines.slice(head, now - tail)) fresh.append(this.#row(line));
    const { children } = this.#copy;
    const after = children[was - tail] ?? null;
    const range = document.createRange();
    if (was - tail > head) {
      range.setStartBefore(children[head]!);
      range.setEndAfter(children[was - tail - 1]!);
      range.deleteContents();
    }
    this.#copy.insertBefore(fresh, after);
  }

  #row(line: string, problems: readonly Problem[] = []): HTMLElement {
    const worst = (["error", "warning", "info"] as const).find((one) =>
      problems.some(({ severity }) => severity === one),
    );
    const row = made("div", worst ? { class: worst } : {});
    let done = 0;
    for (const { column, until, severity } of problems) {
      const [from, to] = [Math.max(done, column - 1), until - 1];
      if (to <= from) continue;
      row.append(line.slice(done, from), made("span", { class: severity }, line.slice(from, to)));
      done = to;
    }
    // A line with nothing on it is as high as any other.
    row.append(line.slice(done) || (done === 0 ? "\u200b" : ""));
    return row;
  }
}

/** The longest text whose lines are numbered and marked [characters]. */
export const longest = 200_000;

interface Move {
  readonly head: number;
  readonly was: number;
  readonly by: number;
}

/** Marks of lines that were not touched, at the lines where those stand now. */
function moved(marked: ReadonlyMap<number, readonly Problem[]>, { head, was, by }: Move) {
  return new Map(
    [...marked].flatMap(([line, problems]) =>
      line <= head ? [[line, problems] as const] : line > was ? [[line + by, problems] as const] : [],
    ),
  );
}
