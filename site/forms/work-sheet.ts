import { type Outcome, run, type Worksheet } from "../../generator/worksheets/worksheet.ts";
import { inputOf, pairsIn, pairsOf, searchOf } from "./address.ts";
import { answerAloud, answerHtml, waysHtml } from "./answer.ts";
import { aroundOf, carried } from "./carried.ts";
import { faultsHtml, type Placed, placed, showFaults } from "./faults.ts";
import { keep, kept } from "./kept.ts";
import { hrefOf, waysOn } from "./onward.ts";
import { addRow, pathOf, readForm, removeRow, writeForm } from "./read.ts";
import { fillRow, lists, numberRows, sayUnits } from "./rows.ts";
import { innerUnits, type UnitKind, type Units, unitsNamed, unitsText } from "./units.ts";
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
    this.#names = carried(host.dataset.names) as Readonly<Record<string, string>>;
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
      fillRow(target, this.#units);
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
    const told = placed(this.#root, faults);
    this.#showTouched(told);
    if (faults.length > 0) this.#show(faultsHtml(this.#root, told));
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
    const ways = waysOn(this.#sheet, input, outcome, aroundOf(this.#host, input, this.#base));
    const html = waysHtml(ways.map((way) => ({ href: hrefOf(way, location), says: way.says })));
    if (this.#waysShown === html && place.innerHTML !== "") return;
    this.#waysShown = html;
    place.innerHTML = html;
  }

  /** Faults are said at what somebody has been at, and at nothing else. */
  #showTouched(faults: readonly Placed[]): void {
    const shown = faults.filter(({ part }) => part !== undefined && this.#touched.has(part));
    if (shown.length === 0 && !this.#faulty) return;
    this.#faulty = shown.length > 0;
    showFaults(this.#root, shown, this.#units);
  }

  #fill(input: unknown): void {
    writeForm(this.#root, input, this.#units);
    this.#number();
  }

  #fillFrom(preset: HTMLSelectElement): void {
    const { input } = readForm(this.#root, this.#units);
    const values = carried(preset.selectedOptions[0]?.dataset.values);
    const path = preset.dataset.preset ?? "";
    this.#fill(path === "" ? values : { ...(input as object), [path]: values });
    this.#work();
  }

  #add(button: HTMLButtonElement): void {
    const row = addRow(button.closest("[data-part]")!);
    this.#number();
    this.#work();
    row.querySelector<HTMLElement>(":is(input, select)")?.focus();
  }

  #remove(button: HTMLButtonElement): void {
    const row = button.closest("li")!;
    const list = row.closest<HTMLElement>(lists)!;
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

  #number(): void {
    numberRows(this.#root);
    sayUnits(this.#root, this.#units);
  }

  #setUnits(units: Units): void {
    this.#units = units;
    for (const select of this.#host.querySelectorAll<HTMLSelectElement>("select[data-units]"))
      select.value = units[select.dataset.units as UnitKind];
    sayUnits(this.#root, units);
    if (unitsText(units) !== unitsText(innerUnits)) this.#fill(readForm(this.#root, innerUnits).input);
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
