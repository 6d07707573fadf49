import type { InputFault } from "../../generator/worksheets/worksheet.ts";
import { esc } from "./answer.ts";
import { meant, pathOf } from "./read.ts";
import { shownUnit, type Units } from "./units.ts";
import { formWords } from "./words.ts";

/** A fault with the part of the form that it stands at. */
export interface Placed extends InputFault {
  readonly part: HTMLElement | undefined;
}

/** Each fault with the part of the form that it names, or the nearest around that. */
export function placed(root: Element, faults: readonly InputFault[]): readonly Placed[] {
  if (faults.length === 0) return [];
  const parts = new Map([...root.querySelectorAll<HTMLElement>("[data-part]")].map((part) => [pathOf(part), part]));
  return faults.map((fault) => {
    let path = fault.field;
    while (path !== "" && !parts.has(path)) path = path.replace(/(\.[^.[]*|\[[^\]]*\]|^[^.[]*)$/, "");
    return { ...fault, part: path === "" ? undefined : parts.get(path) };
  });
}

/** Says these faults at their parts, and nothing at any other part. */
export function showFaults(root: Element, faults: readonly Placed[], units: Units): void {
  for (const element of root.querySelectorAll<HTMLElement>("[data-fault]")) {
    const part = element.closest<HTMLElement>("[data-part]")!;
    const here = faults.filter((fault) => fault.part === part);
    if (here.length === 0 && element.hidden) continue;
    element.hidden = here.length === 0;
    element.innerHTML = here.map((fault) => faultHtml(root, part, fault, units)).join("");
    for (const control of part.querySelectorAll(":is(input, select)")) {
      if (control.closest("[data-part]") !== part) continue;
      if (here.length > 0) control.setAttribute("aria-invalid", "true");
      else control.removeAttribute("aria-invalid");
    }
  }
}

/** All faults of a form in one list, which stands where the answer would. */
export function faultsHtml(root: Element, faults: readonly Placed[]): string {
  const items = faults.map(({ field, reason, part }) => {
    const control = part?.querySelector(":is(input, select, button[data-add])");
    const text = esc(formWords.faultAt(part ? labelOf(part) : field, inWords(root, reason)));
    return `<li>${control?.id ? `<a href="#${control.id}">${text}</a>` : text}</li>`;
  });
  return `<div class="faults" tabindex="-1"><p><b>${esc(formWords.faults(faults.length))}</b></p><ul>${items.join("")}</ul></div>`;
}

function faultHtml(root: Element, part: HTMLElement, { reason }: InputFault, units: Units): string {
  const control = part.querySelector("input");
  const choices = /,/.test(control?.value ?? "") && part.dataset.part === "number" ? meant(control!.value.trim()) : [];
  const buttons = choices.map(
    (text) => `<button type="button" data-mean="${esc(text)}">${esc(formWords.means(text))}</button>`,
  );
  return `<span>${esc(inWords(root, reason))}</span> ${turned(part, units)}${buttons.join(" ")}`;
}

/** What was written in the reader's units, where the sentence names the inner one. */
function turned(part: HTMLElement, units: Units): string {
  const { turns } = part.dataset;
  const shown = turns === undefined ? undefined : shownUnit(turns, units);
  const written = Number(part.querySelector("input")?.value.trim() || Number.NaN);
  if (!shown || !Number.isFinite(written)) return "";
  const inner = Number(shown.from(written).toPrecision(6));
  return `<span>${esc(formWords.turned(`${written} ${shown.unit}`, `${inner} ${turns}`))}</span> `;
}

function labelOf(part: HTMLElement): string {
  const row = part.closest("li")?.querySelector(".row-name")?.textContent;
  const label = part.dataset.label ?? "";
  return row && row !== label ? `${row}, ${label}` : label;
}

/** A sentence with inputs called by their labels. */
function inWords(root: Element, reason: string): string {
  const labels = new Map(
    [...root.querySelectorAll<HTMLElement>("[data-label]")].map(({ dataset }) => [dataset.key, dataset.label]),
  );
  return reason.replace(/\b[a-z]+[A-Z]\w*\b/g, (name) => (labels.has(name) ? `“${labels.get(name)}”` : name));
}
