import { date } from "../generator/format.ts";
import type { todayWords } from "./words.ts";

type Words = typeof todayWords;

/** One thing to do, as the page lists it. */
export interface Due {
  readonly on: string;
  readonly until: string;
}

/** What of a list is late on a day, what is to be done on it, and what begins in the seven days after it. */
export function dueOn<T extends Due>(list: readonly T[], day: string) {
  const week = dayAfter(day, 7);
  return {
    overdue: list.filter(({ until }) => until < day),
    today: list.filter(({ on, until }) => on <= day && until >= day),
    next: list.filter(({ on }) => on > day && on <= week),
  };
}

/** What is to be said of a day that is shown, beside the day of the device and the date and the last day of the edition. */
export function sayDay(words: Words, shown: string, device: string, edition: string, last: string): string {
  const days = daysBetween(edition, shown);
  const end = shown > last || dayAfter(shown, 7) > last ? ` ${words.last(date(last))}` : "";
  if (shown !== device) return `${words.other(date(edition))}${end}`;
  if (days < 0) return words.before(date(edition), date(device), -days);
  if (shown > last) return words.beyond(date(edition), date(device), days);
  return `${days === 0 ? words.same : words.later(date(edition), days)}${end}`;
}

/** Turns the front page to the reader's own day; `?day=2027-04-14` in the address stands for it. Every other page is left alone. */
export function showToday(words: Words): void {
  const host = document.querySelector<HTMLElement>("[data-today][data-edition]");
  if (host) new Today(host, words).start();
}

/** As many late things are shown at once; more of them are counted, and open on demand. */
const few = 3;

class Today {
  readonly #host: HTMLElement;
  readonly #words: Words;
  readonly #all: readonly (Due & { readonly element: HTMLElement })[];
  #shown = "";
  #device = "";

  constructor(host: HTMLElement, words: Words) {
    this.#host = host;
    this.#words = words;
    this.#all = [...host.querySelectorAll<HTMLElement>("[data-doings] > li")]
      .map((element) => ({ on: element.dataset.on ?? "", until: element.dataset.until ?? "", element }))
      .sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0));
  }

  start(): void {
    this.#follow();
    this.#part("turn").hidden = false;
    this.#host.addEventListener("click", ({ target }) => {
      const turn = target instanceof Element ? target.closest<HTMLElement>("[data-turn]")?.dataset.turn : undefined;
      if (turn !== undefined) this.#turnTo(turn === "0" ? ownDay() : dayAfter(this.#shown, Number(turn)));
    });
    addEventListener("popstate", () => this.#follow());
    // A page left open overnight.
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible" && ownDay() !== this.#device) this.#follow();
    });
    document.documentElement.dataset.today = "";
  }

  #follow(): void {
    this.#device = ownDay();
    this.#show(askedDay() ?? this.#device);
  }

  #turnTo(day: string): void {
    this.#device = ownDay();
    const address = new URL(location.href);
    if (day === this.#device) address.searchParams.delete("day");
    else address.searchParams.set("day", day);
    history.replaceState(history.state, "", address);
    this.#show(day);
  }

  #show(day: string): void {
    const { edition = "", last = "" } = this.#host.dataset;
    const due = dueOn(this.#all, day);
    this.#shown = day;
    this.#part("name").textContent = date(day);
    this.#part("says").textContent = sayDay(this.#words, day, this.#device, edition, last);
    for (const list of ["overdue", "today", "next"] as const)
      this.#host
        .querySelector(`[data-doings=${list}]`)
        ?.replaceChildren(...due[list].map(({ element }) => element.cloneNode(true)));
    this.#part("nothing").hidden = due.today.length > 0;
    this.#part("overdue").hidden = due.overdue.length === 0;
    this.#part("overdue").toggleAttribute("open", due.overdue.length <= few);
    this.#part("count").textContent = String(due.overdue.length);
    this.#part("next").hidden = false;
    this.#part("nothing-next").hidden = due.next.length > 0;
  }

  #part(name: string): HTMLElement {
    return this.#host.querySelector<HTMLElement>(`[data-today=${name}]`)!;
  }
}

/** The day by the clock and the time zone of the reader's device. */
function ownDay(): string {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
}

/** The day that the address asks for; undefined when it names none that is in the calendar. */
function askedDay(): string | undefined {
  const day = new URLSearchParams(location.search).get("day") ?? "";
  const known = /^[1-9]\d{3}-\d\d-\d\d$/.test(day) && !Number.isNaN(Date.parse(day)) && dayAfter(day, 0) === day;
  return known ? day : undefined;
}

function dayAfter(day: string, days: number): string {
  return new Date(Date.parse(day) + days * 86_400_000).toISOString().slice(0, 10);
}

function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000);
}
