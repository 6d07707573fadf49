import type { InputFault } from "../../generator/worksheets/worksheet.ts";
import { shortened, shownUnit, typed, type Units } from "./units.ts";
import { formWords } from "./words.ts";

/**
 * What stands in a form, as the input of a worksheet. Every part of it says what it is: `data-part` and `data-key`. A blank
 * is left out and never 0; what cannot be a number is left as it was written, for the worksheet to refuse.
 */
export function readForm(
  root: Element,
  units: Units,
): { readonly input: unknown; readonly faults: readonly InputFault[] } {
  const faults: InputFault[] = [];
  const input = read(root, units, faults) ?? {};
  return { input, faults };
}

/** Puts values into a form; what they do not name becomes blank. */
export function writeForm(element: Element, value: unknown, units: Units): void {
  switch (kindOf(element)) {
    case "object":
    case "tuple":
      for (const member of membersOf(element)) writeForm(member, at(value, keyOf(member)), units);
      return;
    case "list":
      writeRows(element, Object.values(record(value)), units);
      return;
    case "record":
      writeRows(element, Object.entries(record(value)), units);
      return;
    case "entry": {
      const [name = "", inner] = (value ?? []) as readonly [string?, unknown?];
      controlOf(element.querySelector('[data-key="name"]')!).value = name;
      writeForm(membersOf(element).find((member) => keyOf(member) !== "name")!, inner, units);
      return;
    }
    case "days":
      for (const box of boxesOf(element))
        box.checked = Object.values(value === undefined ? usualDays(element) : record(value)).includes(box.value);
      return;
    case "flag": {
      const box = boxesOf(element)[0]!;
      const usual = (element as HTMLElement).dataset.usual;
      box.checked = value === undefined || value === "" ? usual === "true" : String(value) === "true";
      return;
    }
    case "choice": {
      const wanted = value === undefined ? ((element as HTMLElement).dataset.usual ?? "") : String(value);
      const select = element.querySelector("select");
      if (select) select.value = wanted;
      for (const box of boxesOf(element)) box.checked = box.value === wanted;
      return;
    }
    default:
      writeText(element, value, units);
  }
}

/** The parts directly inside another. */
export function membersOf(element: Element): readonly HTMLElement[] {
  const known = memberLists.get(element);
  if (known) return known;
  const found = [...element.querySelectorAll<HTMLElement>("[data-part]")].filter(
    (member) => member.parentElement?.closest("[data-part]") === element,
  );
  memberLists.set(element, found);
  return found;
}

/** Only rows come and go: what is inside a part is looked up once, and anew when a row of it has been added or removed. */
const memberLists = new WeakMap<Element, readonly HTMLElement[]>();

/** The path of a part of a form, as faults name it: `crops[1].ec`. */
export function pathOf(element: Element): string {
  const parent = element.parentElement?.closest("[data-part]");
  if (!parent) return "";
  const before = pathOf(parent);
  const key =
    kindOf(parent) === "list" ? `[${membersOf(parent).indexOf(element as HTMLElement)}]` : nameIn(element, parent);
  return before === "" ? key : key.startsWith("[") ? `${before}${key}` : key === "" ? before : `${before}.${key}`;
}

/** Adds a blank row to a list or a record. */
export function addRow(element: Element): HTMLElement {
  const template = element.querySelector<HTMLTemplateElement>(":scope > template")!;
  rows += 1;
  const holder = document.createElement("ol");
  holder.innerHTML = template.innerHTML.replaceAll(template.dataset.mark!, `row-${rows}`);
  const row = holder.firstElementChild as HTMLElement;
  element.querySelector(":scope > .rows")!.append(row);
  memberLists.delete(element);
  return row;
}

/** Takes a row out of its list or record. */
export function removeRow(row: Element): void {
  const list = row.parentElement?.closest("[data-part]");
  row.remove();
  if (list) memberLists.delete(list);
}

let rows = 0;

function read(element: Element, units: Units, faults: InputFault[]): unknown {
  const data = (element as HTMLElement).dataset;
  switch (kindOf(element)) {
    case "object": {
      const entries = membersOf(element)
        .map((member) => [keyOf(member), read(member, units, faults)] as const)
        .filter(([, value]) => value !== undefined);
      return entries.length === 0 && data.optional ? undefined : Object.fromEntries(entries);
    }
    case "tuple": {
      const ends = membersOf(element).map((member) => read(member, units, faults));
      return ends.every((end) => end === undefined) ? undefined : ends.map((end) => end ?? null);
    }
    case "list": {
      const values = membersOf(element).map((member) => read(member, units, faults));
      while (values.length > 0 && values.at(-1) === undefined) values.pop();
      // A blank between others keeps its place: it says that one was not measured.
      return values.length === 0 && data.optional ? undefined : values.map((value) => value ?? null);
    }
    case "record":
      return readRecord(element, units, faults);
    case "days": {
      const chosen = boxesOf(element).filter(({ checked }) => checked);
      const days = chosen.map(({ value }) => value);
      return days.join() === usualDays(element).join() ? undefined : days;
    }
    case "flag": {
      const { checked } = boxesOf(element)[0]!;
      return String(checked) === data.usual ? undefined : checked;
    }
    case "choice": {
      const chosen =
        element.querySelector("select")?.value ?? boxesOf(element).find(({ checked }) => checked)?.value ?? "";
      if (data.yes) return chosen === "" ? undefined : chosen === "true";
      return chosen === "" || chosen === data.usual ? undefined : chosen;
    }
    case "number":
      return readNumber(element, units, faults);
    default: {
      const text = controlOf(element).value.trim();
      return text === "" ? undefined : text;
    }
  }
}

function readRecord(element: Element, units: Units, faults: InputFault[]): unknown {
  const found = new Map<string, unknown>();
  for (const entry of membersOf(element)) {
    const name = controlOf(entry.querySelector('[data-key="name"]')!).value.trim();
    const value = read(membersOf(entry).find((member) => keyOf(member) !== "name")!, units, faults);
    if (name === "" && value === undefined) continue;
    if (name === "")
      faults.push({ field: pathOf(entry.querySelector('[data-key="name"]')!), reason: formWords.nameless });
    else if (found.has(name))
      faults.push({ field: pathOf(entry.querySelector('[data-key="name"]')!), reason: formWords.twice(name) });
    else if (value !== undefined) found.set(name, value);
  }
  return found.size === 0 && (element as HTMLElement).dataset.optional ? undefined : Object.fromEntries(found);
}

/** A number as it was typed. A comma is asked about, never guessed at. */
function readNumber(element: Element, units: Units, faults: InputFault[]): unknown {
  const control = controlOf(element);
  const text = control.value
    .trim()
    .replace(/^−/, "-")
    .replace(/(?<=\d)[\s\u202f](?=\d)/g, "");
  if (text === "") return undefined;
  const { shown, inner } = control.dataset;
  if (shown === control.value && inner !== undefined) return Number(inner);
  if (/^-?\d+(,\d+)+$/.test(text)) {
    faults.push({ field: pathOf(element), reason: formWords.comma(text, meant(text)) });
    return undefined;
  }
  if (!/^-?(\d+\.?\d*|\.\d+)(e-?\d+)?$/i.test(text)) return text;
  const unit = (element as HTMLElement).dataset.turns;
  const other = unit === undefined ? undefined : shownUnit(unit, units);
  return other ? Number(other.from(Number(text)).toPrecision(12)) : Number(text);
}

/** What a number with commas may mean: `1,6` is 1.6; `1,000` may be 1000 or 1.000. */
export function meant(text: string): readonly string[] {
  const parts = text.split(",");
  const thousands = parts.slice(1).every((part) => part.length === 3) ? [parts.join("")] : [];
  return [...thousands, ...(parts.length === 2 ? [parts.join(".")] : [])];
}

function writeText(element: Element, value: unknown, units: Units): void {
  const control = controlOf(element);
  const unit = (element as HTMLElement).dataset.turns;
  const other = unit === undefined ? undefined : shownUnit(unit, units);
  const plain = value === undefined || value === null ? "" : String(value);
  const figure = kindOf(element) === "number" && plain !== "" ? Number(plain) : Number.NaN;
  control.value = Number.isFinite(figure) ? (other ? typed(other.to(figure)) : shortened(figure, plain)) : plain;
  // What is shown may be shorter than what is meant: as long as nobody changes it, the whole figure counts.
  delete control.dataset.inner;
  if (Number.isFinite(figure) && control.value !== plain) {
    control.dataset.inner = plain;
    control.dataset.shown = control.value;
  }
}

function writeRows(element: Element, values: readonly unknown[], units: Units): void {
  for (const row of membersOf(element)) removeRow(row.closest("li")!);
  const least = Number((element as HTMLElement).dataset.least ?? 0);
  for (let index = 0; index < Math.max(values.length, least); index += 1) {
    addRow(element);
    writeForm(membersOf(element).at(-1)!, values[index], units);
  }
}

function nameIn(element: Element, parent: Element): string {
  if (kindOf(parent) === "entry") return keyOf(element) === "name" ? "name" : "";
  if (kindOf(element) === "entry") return controlOf(element.querySelector('[data-key="name"]')!).value.trim();
  return kindOf(parent) === "tuple" ? `[${keyOf(element)}]` : keyOf(element);
}

function kindOf(element: Element): string {
  return (element as HTMLElement).dataset.part ?? "";
}

function keyOf(element: Element): string {
  return (element as HTMLElement).dataset.key ?? "";
}

function controlOf(element: Element): HTMLInputElement {
  return element.querySelector("input")!;
}

function boxesOf(element: Element): readonly HTMLInputElement[] {
  return [...element.querySelectorAll("input")];
}

function usualDays(element: Element): readonly string[] {
  const usual = (element as HTMLElement).dataset.usual;
  return usual === undefined ? [] : (JSON.parse(usual) as string[]);
}

function record(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null ? (value as Record<string, unknown>) : {};
}

function at(value: unknown, key: string): unknown {
  return record(value)[key];
}
