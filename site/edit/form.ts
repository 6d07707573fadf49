import { edit } from "../../generator/revise.ts";
import type { Problem } from "./checked.ts";
import { made } from "./made.ts";
import type { Mend } from "./mend.ts";
import type { PlainField, PlainGroup } from "./plain.ts";
import { editWords } from "./words.ts";

/** The text that a form stands for, and the way to change it. */
export interface Behind {
  readonly text: string;
  put(mend: Mend): void;
}

/** A form over the single values of a record: what is typed in a box changes that value of the text and no other byte. */
export class PlainForm {
  readonly #host: HTMLElement;
  readonly #behind: Behind;
  #layout = "";
  #rows: readonly Row[] = [];

  constructor(host: HTMLElement, behind: Behind) {
    this.#host = host;
    this.#behind = behind;
  }

  /** Shows what the record says now, with what the checker says beside each box; undefined when it cannot be read. */
  show(groups: readonly PlainGroup[] | undefined, problems: readonly Problem[]): void {
    const layout = JSON.stringify(
      groups?.map(({ name, fields }) => [name, fields.map(({ path, words }) => [path, words])]),
    );
    if (layout !== this.#layout || !groups) this.#build(groups ?? []);
    this.#layout = layout ?? "";
    if (!groups || groups.length === 0)
      this.#host.replaceChildren(made("p", {}, groups ? editWords.fieldsNone : editWords.fieldsUnread));
    const fields = groups?.flatMap((group) => group.fields) ?? [];
    for (const [index, row] of this.#rows.entries()) {
      row.field = fields[index]!;
      show(row, problems);
    }
  }

  #build(groups: readonly PlainGroup[]): void {
    const open = new Set(
      [...this.#host.querySelectorAll("details[open]")].map((one) => one.getAttribute("data-group")),
    );
    const rows: Row[] = [];
    this.#host.replaceChildren(
      ...groups.map(({ name, fields }) => {
        const own = fields.map((field, index) => rowOf(field, rows.length + index));
        rows.push(...own);
        return groupOf(name, own, open.has(name) || name === "");
      }),
    );
    for (const row of rows) row.control.addEventListener("input", () => this.#change(row));
    this.#rows = rows;
  }

  #change(row: Row): void {
    const { field, control } = row;
    const value = control.value.trim();
    const before = this.#behind.text;
    const revised =
      value === field.value
        ? undefined
        : value === ""
          ? { refusal: editWords.blank }
          : edit(before, [{ path: field.path, value, was: field.value }]);
    sayFault(row, revised && "refusal" in revised ? [revised.refusal] : []);
    if (!revised || "refusal" in revised) return;
    row.field = { ...field, value };
    this.#behind.put(between(before, revised.text));
  }
}

interface Row {
  readonly element: HTMLElement;
  readonly control: HTMLInputElement | HTMLSelectElement;
  readonly fault: HTMLElement;
  readonly leans: HTMLElement | undefined;
  field: PlainField;
}

function groupOf(name: string, rows: readonly Row[], open: boolean): HTMLElement {
  const title = name === "" ? editWords.top : made("code", {}, name);
  const group = made("details", { "data-group": name }, made("summary", {}, title));
  group.append(made("div", { class: "boxes" }, ...rows.map(({ element }) => element)));
  group.open = open;
  return group;
}

function rowOf(field: PlainField, index: number): Row {
  const id = `value-${index}`;
  const control = field.words
    ? made("select", { id, "aria-describedby": `${id}-says` })
    : made("input", {
        id,
        type: "text",
        autocomplete: "off",
        autocapitalize: "off",
        spellcheck: "false",
        "aria-describedby": `${id}-says`,
      });
  const fault = made("p", { class: "fault", hidden: true });
  const leans = field.leansOn ? made("small", { class: "hint" }) : undefined;
  const says = made("div", { id: `${id}-says` }, fault, ...(leans ? [leans] : []));
  const label = made("label", { for: id }, field.label);
  if (field.unit) label.append(" ", made("small", {}, editWords.unit(field.unit)));
  return { element: made("div", { class: "field" }, label, control, says), control, fault, leans, field };
}

function show(row: Row, problems: readonly Problem[]): void {
  const { field, control, leans } = row;
  const path = field.path.join(".");
  // What is being typed stays as it is typed.
  if (document.activeElement !== control || control.value.trim() !== field.value) {
    if (control instanceof HTMLSelectElement) {
      const words = field.words!.includes(field.value) ? field.words! : [field.value, ...field.words!];
      control.replaceChildren(...words.map((word) => made("option", {}, word)));
    }
    control.value = field.value;
  }
  if (leans) leans.textContent = leansText(field.leansOn ?? []);
  sayFault(
    row,
    problems.filter((problem) => problem.field === path && problem.severity !== "info").map(({ message }) => message),
  );
}

function leansText(names: readonly string[]): string {
  if (names.length === 0) return editWords.leansOnNothing;
  return editWords.leansOn(names.map((name) => editWords.sourceWords[name] ?? name));
}

function sayFault({ control, fault }: Row, says: readonly string[]): void {
  fault.hidden = says.length === 0;
  fault.textContent = says.map((one) => (/[.?!]$/.test(one) ? one : `${one}.`)).join(" ");
  if (says.length > 0) control.setAttribute("aria-invalid", "true");
  else control.removeAttribute("aria-invalid");
}

/** The one stretch in which two texts differ. */
function between(was: string, now: string): Mend {
  const shorter = Math.min(was.length, now.length);
  let [from, tail] = [0, 0];
  while (from < shorter && was[from] === now[from]) from++;
  while (tail < shorter - from && was.at(-1 - tail) === now.at(-1 - tail)) tail++;
  return { from, to: was.length - tail, put: now.slice(from, now.length - tail) };
}
