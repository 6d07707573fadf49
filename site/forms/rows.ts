import { carried } from "./carried.ts";
import { membersOf, readForm, writeForm } from "./read.ts";
import { hintOf, shownUnit, type Units, type Wanted } from "./units.ts";
import { formWords } from "./words.ts";

/** Every list of rows in a form. */
export const lists = '[data-part="list"], [data-part="record"]';

/** Rows are counted anew, so that each can be named. */
export function numberRows(root: Element): void {
  for (const list of root.querySelectorAll<HTMLElement>(lists)) {
    membersOf(list).forEach((row, index) => {
      const name = row.closest("li")?.querySelector(".row-name");
      if (name) name.textContent = formWords.row(list.dataset.row ?? "", index + 1);
    });
  }
}

/** A row that is called by one of the book's own records takes over what that says. */
export function fillRow(target: EventTarget | null, units: Units): void {
  const control = target instanceof HTMLInputElement ? target : undefined;
  const known = carried(control?.closest<HTMLElement>("[data-known]")?.dataset.known) as Readonly<
    Record<string, object>
  >;
  const part = control?.closest<HTMLElement>("[data-part]");
  const row = part?.parentElement?.closest<HTMLElement>("[data-part]");
  if (!control || !row || part?.dataset.key !== "id" || !known[control.value]) return;
  const { input } = readForm(row, units);
  writeForm(row, { ...(input as object), ...known[control.value] }, units);
}

/** Units and hints beside the inputs, as the reader has chosen. */
export function sayUnits(root: Element, units: Units): void {
  for (const part of root.querySelectorAll<HTMLElement>("[data-turns]")) {
    const wanted = carried(part.dataset.wanted) as unknown as Wanted;
    part.querySelector(".unit")!.textContent = shownUnit(wanted.unit, units)?.unit ?? wanted.unit;
    const hint = part.querySelector(".hint");
    if (hint) hint.textContent = hintOf(wanted, units);
  }
}
