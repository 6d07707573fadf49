import { type InputFault, type Outcome, run, type Worksheet } from "../../generator/worksheets/worksheet.ts";
import { inputOf, pairsIn, pairsOf, searchOf } from "./address.ts";
import { answerAloud, answerHtml, esc, waysHtml } from "./answer.ts";
import { type Around, hrefOf, waysOn } from "./onward.ts";
import { addRow, meant, membersOf, pathOf, readForm, removeRow, writeForm } from "./read.ts";
import {
  hintOf,
  innerUnits,
  shownUnit,
  type UnitKind,
  type Units,
  unitsNamed,
  unitsText,
  type Wanted,
} from "./units.ts";
import type { Reader } from "./view.ts";
import { formWords } from "./words.ts";

/** Lets the forms of these worksheets be filled in. A page without scripts keeps the answer that it was printed with. */
export function defineWorkSheet(sheets: readonly Worksheet[]): void {
  const byId = new Map(sheets.map((sheet) => [sheet.id, sheet]));
  customElements.define(
    "work-sheet",
    class extends HTMLElement {
      connectedCallback(): void {
        const sheet = byId.get(this.dataset.sheet ?? "");
        if (sheet) new Form(this, sheet).take();
      }
    },
  );
}

/** One form on a page, from the moment a script takes it over. */
class Form {
  readonly #host: HTMLElement;
  readonly #sheet: Worksheet;
  readonly #root: Element;
  readonly #answer: Element;
  readonly #names: Readonly<Record<string, string>>;
  #units: Units = innerUnits;
  #base: unknown;
  #touched = new Set<Element>();
  #ways: { readonly input: unknown; readonly outcome: Outcome } | undefined;
  #shown = "";
  #waysShown = "";
  #later = 0;
  #faulty = false;

  constructor(host: HTMLElement, sheet: Worksheet) {
    this.#host = host;
    this.#sheet = sheet;
    this.#root = host.querySelector("[data-root]")!;
    this.#answer = host.querySelector("[data-answer]")!;
    this.#names = json(host.dataset.names) as Readonly<Record<string, string>>;
  }

  take(): void {
    const { search } = location;
    this.#base = readForm(this.#root, innerUnits).input;
    this.#host.querySelector<HTMLFieldSetElement>("fieldset[data-inputs]")!.disabled = false;
    this.#host.setAttribute("ready", "");
    for (const element of this.#host.querySelectorAll<HTMLElement>("[data-scripted]"))
      element.hidden = element.dataset.scripted === "off";
    this.#setUnits(unitsNamed(new URLSearchParams(search).get("units") ?? kept("units")));
    const given = pairsIn(search);
    if (given.size > 0) this.#fill(inputOf(this.#merged(given)));
    this.#listen();
    if (given.size > 0 || unitsText(this.#units) !== unitsText(innerUnits)) this.#work();
    else setTimeout(() => this.#rehearse(8), 0);
    if (given.size > 0) this.#host.closest("details")?.setAttribute("open", "");
    const answer = this.#answer.closest("section")?.firstElementChild;
    if (answer && location.hash === `#${answer.id}`) answer.scrollIntoView();
  }

  /** The first workings of a sheet are the slowest: they are over before anyone has typed, each in a turn of its own. */
  #rehearse(times: number): void {
    const result = run(this.#sheet, readForm(this.#root, this.#units).input);
    if ("outcome" in result) {
      const reader = { units: this.#units, names: this.#names };
      document.createElement("template").innerHTML = answerHtml(this.#sheet, result.outcome, reader);
      answerAloud(this.#sheet, result.outcome, reader);
    }
    if (times > 1) setTimeout(() => this.#rehearse(times - 1), 0);
  }

  get #differs(): boolean {
    return this.#host.dataset.keep === "differences";
  }

  /** Where a sheet stands among a record's own figures, an address changes those; elsewhere it fills a blank sheet. */
  #merged(given: ReadonlyMap<string, string>): ReadonlyMap<string, string> {
    return this.#differs ? new Map([...pairsOf(this.#base), ...given]) : given;
  }

  #listen(): void {
    const form = this.#host.querySelector("form")!;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#touched = new Set(this.#root.querySelectorAll("[data-part]"));
      const answered = this.#work();
      this.#showWays();
      (answered ? this.#answer : this.#answer.querySelector(".faults"))?.scrollIntoView({ block: "nearest" });
      this.#answer.querySelector<HTMLElement>(answered ? ".outcome" : ".faults")?.focus();
    });
    this.#root.addEventListener("input", ({ target }) => {
      this.#touch(target);
      this.#work();
    });
    this.#root.addEventListener("change", ({ target }) => {
      this.#fillRow(target);
      this.#touch(target);
      this.#work();
    });
    this.#host.addEventListener("click", ({ target }) => {
      const button = target instanceof Element ? target.closest("button") : null;
      if (button?.dataset.add !== undefined) this.#add(button);
      if (button?.dataset.remove !== undefined) this.#remove(button);
      if (button?.dataset.mean !== undefined) this.#mean(button);
    });
    for (const preset of this.#host.querySelectorAll<HTMLSelectElement>("select[data-preset]"))
      preset.addEventListener("change", () => this.#fillFrom(preset));
    for (const select of this.#host.querySelectorAll<HTMLSelectElement>("select[data-units]"))
      select.addEventListener("change", () => {
        const { input } = readForm(this.#root, this.#units);
        this.#setUnits({ ...this.#units, [select.dataset.units as UnitKind]: select.value });
        keep("units", unitsText(this.#units));
        this.#fill(input);
        this.#work();
      });
    addEventListener("popstate", () => {
      this.#fill(inputOf(this.#merged(pairsIn(location.search))));
      this.#work();
    });
  }

  /** Works the sheet out anew and shows it; true when it has an answer. */
  #work(): boolean {
    const { input, faults: misread } = readForm(this.#root, this.#units);
    const result = run(this.#sheet, input);
    const found = "faults" in result ? result.faults : [];
    const read = new Set(misread.map(({ field }) => field));
    const faults = [...misread, ...found.filter(({ field }) => !read.has(field))];
    const reader: Reader = { units: this.#units, names: this.#names };
    const placed = this.#placed(faults);
    this.#showFaults(placed);
    if (faults.length > 0) this.#show(this.#summary(placed));
    else if ("outcome" in result) this.#show(answerHtml(this.#sheet, result.outcome, reader));
    this.#ways = "outcome" in result && faults.length === 0 ? { input, outcome: result.outcome } : undefined;
    if (this.#ways?.outcome.refusal === null) this.#showWays();
    const says =
      "outcome" in result && faults.length === 0
        ? answerAloud(this.#sheet, result.outcome, reader)
        : formWords.faults(faults.length);
    this.#host.querySelector("[data-peek-says]")!.textContent = says;
    clearTimeout(this.#later);
    this.#later = window.setTimeout(() => {
      this.#keepAddress(input);
      this.#showWays();
      this.#host.querySelector('[role="status"]')!.textContent = says;
    }, 600);
    return faults.length === 0;
  }

  /** What is shown already stays as it is: a link that is being pressed as a field is left must not be put in anew. */
  #show(html: string): void {
    if (html === this.#shown) return;
    this.#shown = html;
    this.#answer.innerHTML = html;
  }

  /** Where to go on from the answer; from a refusal it is found once somebody pauses, as it takes many a sum. */
  #showWays(): void {
    const place = this.#answer.querySelector(".onward");
    if (!this.#ways || !place) return;
    const { input, outcome } = this.#ways;
    const ways = waysOn(this.#sheet, input, outcome, this.#around(input));
    const html = waysHtml(ways.map((way) => ({ href: hrefOf(way, location), says: way.says })));
    if (this.#waysShown === html && place.innerHTML !== "") return;
    this.#waysShown = html;
    place.innerHTML = html;
  }

  #around(input: unknown): Around {
    const [folder = "", file = ""] = location.pathname.split("/").slice(-2);
    const { rain, feed } = this.#host.dataset;
    return {
      here: `${folder}/${file.replace(/\.html$/, "")}`,
      rain: rain === undefined ? undefined : (json(rain) as Readonly<Record<string, number>>),
      feed: this.#feedLike(input) ?? (feed === undefined ? undefined : { id: feed, base: pairsOf(this.#base) }),
      back: new URLSearchParams(location.search).get("back") ?? undefined,
    };
  }

  /** The feed of the book that asks for the same: its paper is the one to weigh by. */
  #feedLike(input: unknown): Around["feed"] {
    const targets = (of: unknown) => [...pairsOf({ targets: (of as { targets?: unknown }).targets })].sort().join();
    for (const { dataset } of this.#host.querySelectorAll<HTMLOptionElement>('option[data-record^="feeds/"]')) {
      const values = json(dataset.values);
      if (targets(values) === targets(input))
        return { id: dataset.record!.slice("feeds/".length), base: pairsOf(values) };
    }
    return undefined;
  }

  #showFaults(faults: readonly Placed[]): void {
    const shown = faults.filter(({ part }) => part !== undefined && this.#touched.has(part));
    if (shown.length === 0 && !this.#faulty) return;
    this.#faulty = shown.length > 0;
    for (const element of this.#root.querySelectorAll<HTMLElement>("[data-fault]")) {
      const part = element.closest<HTMLElement>("[data-part]")!;
      const here = shown.filter((fault) => fault.part === part);
      if (here.length === 0 && element.hidden) continue;
      element.hidden = here.length === 0;
      element.innerHTML = here.map((fault) => this.#faultHtml(part, fault)).join("");
      for (const control of part.querySelectorAll(":is(input, select)")) {
        if (control.closest("[data-part]") !== part) continue;
        if (here.length > 0) control.setAttribute("aria-invalid", "true");
        else control.removeAttribute("aria-invalid");
      }
    }
  }

  #faultHtml(part: HTMLElement, { reason }: InputFault): string {
    const control = part.querySelector("input");
    const choices =
      /,/.test(control?.value ?? "") && part.dataset.part === "number" ? meant(control!.value.trim()) : [];
    const buttons = choices.map(
      (text) => `<button type="button" data-mean="${esc(text)}">${esc(formWords.means(text))}</button>`,
    );
    return `<span>${esc(this.#inWords(reason))}</span> ${this.#turned(part)}${buttons.join(" ")}`;
  }

  /** What was written in the reader's units, where the sentence names the inner one. */
  #turned(part: HTMLElement): string {
    const { turns } = part.dataset;
    const shown = turns === undefined ? undefined : shownUnit(turns, this.#units);
    const written = Number(part.querySelector("input")?.value.trim() || Number.NaN);
    if (!shown || !Number.isFinite(written)) return "";
    const inner = Number(shown.from(written).toPrecision(6));
    return `<span>${esc(formWords.turned(`${written} ${shown.unit}`, `${inner} ${turns}`))}</span> `;
  }

  #summary(faults: readonly Placed[]): string {
    const items = faults.map(({ field, reason, part }) => {
      const control = part?.querySelector(":is(input, select, button[data-add])");
      const text = esc(formWords.faultAt(part ? this.#labelOf(part) : field, this.#inWords(reason)));
      return `<li>${control?.id ? `<a href="#${control.id}">${text}</a>` : text}</li>`;
    });
    return `<div class="faults" tabindex="-1"><p><b>${esc(formWords.faults(faults.length))}</b></p><ul>${items.join("")}</ul></div>`;
  }

  /** Each fault with the part of the form that it names, or the nearest around that. */
  #placed(faults: readonly InputFault[]): readonly Placed[] {
    if (faults.length === 0) return [];
    const parts = new Map(
      [...this.#root.querySelectorAll<HTMLElement>("[data-part]")].map((part) => [pathOf(part), part]),
    );
    return faults.map((fault) => {
      let path = fault.field;
      while (path !== "" && !parts.has(path)) path = path.replace(/(\.[^.[]*|\[[^\]]*\]|^[^.[]*)$/, "");
      return { ...fault, part: path === "" ? undefined : parts.get(path) };
    });
  }

  #labelOf(part: HTMLElement): string {
    const row = part.closest("li")?.querySelector(".row-name")?.textContent;
    const label = part.dataset.label ?? "";
    return row && row !== label ? `${row}, ${label}` : label;
  }

  /** A sentence with inputs called by their labels. */
  #inWords(reason: string): string {
    const labels = new Map(
      [...this.#root.querySelectorAll<HTMLElement>("[data-label]")].map(({ dataset }) => [dataset.key, dataset.label]),
    );
    return reason.replace(/\b[a-z]+[A-Z]\w*\b/g, (name) => (labels.has(name) ? `“${labels.get(name)}”` : name));
  }

  #fill(input: unknown): void {
    writeForm(this.#root, input, this.#units);
    this.#number();
  }

  #fillFrom(preset: HTMLSelectElement): void {
    const { input } = readForm(this.#root, this.#units);
    const values = json(preset.selectedOptions[0]?.dataset.values);
    const path = preset.dataset.preset ?? "";
    this.#fill(path === "" ? values : { ...(input as object), [path]: values });
    this.#work();
  }

  /** A row that is called by one of the book's own records takes over what that says. */
  #fillRow(target: EventTarget | null): void {
    const control = target instanceof HTMLInputElement ? target : undefined;
    const known = json(control?.closest<HTMLElement>("[data-known]")?.dataset.known) as Readonly<
      Record<string, object>
    >;
    const part = control?.closest<HTMLElement>("[data-part]");
    const row = part?.parentElement?.closest<HTMLElement>("[data-part]");
    if (!control || !row || part?.dataset.key !== "id" || !known[control.value]) return;
    const { input } = readForm(row, this.#units);
    writeForm(row, { ...(input as object), ...known[control.value] }, this.#units);
  }

  #add(button: HTMLButtonElement): void {
    const row = addRow(button.closest("[data-part]")!);
    this.#number();
    this.#work();
    row.querySelector<HTMLElement>(":is(input, select)")?.focus();
  }

  #remove(button: HTMLButtonElement): void {
    const row = button.closest("li")!;
    const list = row.closest<HTMLElement>('[data-part="list"], [data-part="record"]')!;
    const next = (row.nextElementSibling ?? row.previousElementSibling)?.querySelector<HTMLElement>(
      ":is(input, select)",
    );
    removeRow(row);
    this.#number();
    this.#work();
    (next ?? list.querySelector<HTMLElement>("button[data-add]"))?.focus();
  }

  #mean(button: HTMLButtonElement): void {
    const control = button.closest("[data-part]")!.querySelector("input")!;
    control.value = button.dataset.mean!;
    this.#work();
    control.focus();
  }

  /** Rows are counted anew, so that each can be named. */
  #number(): void {
    for (const list of this.#root.querySelectorAll<HTMLElement>('[data-part="list"], [data-part="record"]')) {
      membersOf(list).forEach((row, index) => {
        const name = row.closest("li")?.querySelector(".row-name");
        if (name) name.textContent = formWords.row(list.dataset.row ?? "", index + 1);
      });
    }
    this.#say();
  }

  #setUnits(units: Units): void {
    this.#units = units;
    for (const select of this.#host.querySelectorAll<HTMLSelectElement>("select[data-units]"))
      select.value = units[select.dataset.units as UnitKind];
    this.#say();
    if (unitsText(units) !== unitsText(innerUnits)) this.#fill(readForm(this.#root, innerUnits).input);
  }

  /** Units and hints beside the inputs, as the reader has chosen. */
  #say(): void {
    for (const part of this.#root.querySelectorAll<HTMLElement>("[data-turns]")) {
      const wanted = json(part.dataset.wanted) as unknown as Wanted;
      part.querySelector(".unit")!.textContent = shownUnit(wanted.unit, this.#units)?.unit ?? wanted.unit;
      const hint = part.querySelector(".hint");
      if (hint) hint.textContent = hintOf(wanted, this.#units);
    }
  }

  #touch(target: EventTarget | null): void {
    for (
      let part = target instanceof Element ? target.closest("[data-part]") : null;
      part;
      part = part.parentElement?.closest("[data-part]") ?? null
    )
      this.#touched.add(part);
  }

  #keepAddress(input: unknown): void {
    const now = new Map([...pairsOf(input)].filter(([name]) => !this.#unsaved.has(name)));
    const base = this.#differs ? pairsOf(this.#base) : undefined;
    const address = new URL(location.href);
    const units = unitsText(this.#units);
    if (units === unitsText(innerUnits)) address.searchParams.delete("units");
    else address.searchParams.set("units", units);
    address.search = searchOf(now, address.search, base);
    history.replaceState(history.state, "", address);
  }

  get #unsaved(): ReadonlySet<string> {
    return new Set([...this.#root.querySelectorAll("[data-unsaved]")].map(pathOf));
  }
}

/** A fault with the part of the form that it stands at. */
interface Placed extends InputFault {
  readonly part: HTMLElement | undefined;
}

function json(text: string | undefined): Readonly<Record<string, unknown>> {
  return text ? (JSON.parse(text) as Record<string, unknown>) : {};
}

function kept(name: string): string | undefined {
  try {
    return localStorage.getItem(name) ?? undefined;
  } catch {
    return undefined;
  }
}

function keep(name: string, value: string): void {
  try {
    localStorage.setItem(name, value);
  } catch {
    // A browser that keeps nothing still shows what was chosen.
  }
}
