import { keep, kept } from "./forms/kept.ts";
import { fold } from "./search/near.ts";
import { summonSearch } from "./search/summon.ts";
import { tellOfNewer } from "./update.ts";
import { filterWords, themeWords, updateWords } from "./words.ts";

summonSearch();
// While developing there is no pack: the script is a module of its own, and says so.
if (import.meta.env.DEV) void import("./search/box.ts");
switchTheme();
rememberPlace();
filterByName();
sayWhatWasAsked();
leadBackFromSource();
tellOfNewer(updateWords);

/** The button between the bright yard and the dim room. */
function switchTheme(): void {
  const button = document.querySelector<HTMLButtonElement>("button[data-theme-switch]");
  if (!button) return;
  const root = document.documentElement;
  const dark = () =>
    (root.dataset.theme ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";
  const label = button.querySelector("span");
  const say = () => {
    if (label) label.textContent = dark() ? themeWords.light : themeWords.dark;
  };
  button.hidden = false;
  say();
  button.addEventListener("click", () => {
    const theme = dark() ? "light" : "dark";
    root.dataset.theme = theme;
    keep("theme", theme);
    say();
  });
  if (location.protocol === "file:") carryInAddress(root);
}

/** From a folder, where a setting may be kept for one file only, the theme chosen goes along with every link. */
function carryInAddress(root: HTMLElement): void {
  document.addEventListener("click", ({ target }) => {
    const link = target instanceof Element ? target.closest("a") : undefined;
    const theme = root.dataset.theme;
    if (!link || !theme || link.protocol !== "file:" || link.pathname === location.pathname) return;
    const address = new URL(link.href);
    address.searchParams.set("theme", theme);
    link.href = address.href;
  });
}

/** Where the reader grows it, kept from one plant's card to the next. */
function rememberPlace(): void {
  for (const radio of document.querySelectorAll<HTMLInputElement>("input[name=place]")) {
    if (radio.value === kept("place")) radio.checked = true;
    radio.addEventListener("change", () => keep("place", radio.value));
  }
}

/** Leaves only the crops whose names hold what is typed, letters compared as the search does, and says how many. */
function filterByName(): void {
  const input = document.querySelector<HTMLInputElement>("input[data-filter]");
  if (!input) return;
  const rows = [...document.querySelectorAll<HTMLElement>("[data-filter-names]")];
  const groups = [...document.querySelectorAll<HTMLElement>("[data-filter-group]")];
  const count = document.querySelector<HTMLElement>("[data-filter-count]");
  const kinds = document.querySelectorAll<HTMLInputElement>("input[name=kind]");
  const label = input.closest("label");
  if (label) label.hidden = false;
  const filter = (): void => {
    const wanted = fold(input.value);
    for (const row of rows) row.hidden = !row.dataset.filterNames?.includes(wanted);
    for (const group of groups) group.hidden = !group.querySelector("[data-filter-names]:not([hidden])");
    const kind = [...kinds].find(({ checked }) => checked)?.value ?? "all";
    const among = rows.filter((row) => kind === "all" || row.closest("[data-filter-group]")?.classList.contains(kind));
    const shown = among.filter(({ hidden }) => !hidden).length;
    if (count)
      count.textContent = shown === 0 ? filterWords.none(input.value.trim()) : filterWords.shown(shown, among.length);
  };
  input.addEventListener("input", filter);
  for (const kind of kinds) kind.addEventListener("change", filter);
  filter();
}

/** The letter after a figure leads to its source line; Escape leads back to that letter. */
function leadBackFromSource(): void {
  let letter: HTMLAnchorElement | undefined;
  document.addEventListener("click", ({ target }) => {
    const mark = target instanceof Element ? target.closest<HTMLAnchorElement>("a.mark") : null;
    if (mark) letter = mark;
  });
  document.addEventListener("keydown", ({ key }) => {
    if (key !== "Escape" || !letter || location.hash !== letter.hash) return;
    history.back();
    letter.focus();
  });
}

/** On the index: the word that the search had nothing for. */
function sayWhatWasAsked(): void {
  const about = new URLSearchParams(location.search).get("about");
  const place = document.querySelector<HTMLElement>("[data-about]");
  if (!about || !place) return;
  place.textContent = about;
  const line = place.closest<HTMLElement>("[hidden]");
  if (line) line.hidden = false;
}
