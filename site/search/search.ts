import { distance, fold, nearest } from "./near.ts";
import { openSearch, root, type Search, type Text } from "./open.ts";
import { type AskedFigure, type Asking, answersOf, type Name, questionIn, ranked } from "./rank.ts";

/** Every word that the search says. */
export interface SearchWords extends Partial<Asking> {
  /** While the index is opened. */
  readonly opening: string;
  /** While developing, where there is no index. */
  readonly unbuilt: string;
  /** If a file of the index is missing. */
  readonly failed: string;
  /** The name of the list of results. */
  readonly results: string;
  /** How many pages were found, and how many of them are listed. */
  found(pages: number, listed: number, query: string): string;
  /** Nothing was found; `near` says how many near names are listed. */
  nothing(query: string, near: number): string;
  /** The other names of a page. */
  also(names: readonly string[]): string;
  /** What a kind of page is called, by its `data-kind`. */
  readonly kinds: Readonly<Record<string, string>>;
  /** What a figure rests on, by its letter. */
  readonly basis?: Readonly<Record<string, string>>;
}

/**
 * Defines `<book-search>`. It stands around a plain search form, which goes on working without it, and lists results
 * under it as one types. A form that already carries a query in its address (`?q=`) shows its results at once; with the
 * attribute `open` the list stays where it is. An `<a data-nothing>` in it is shown when nothing was found, with the
 * query added to its address as `?about=`.
 */
export function defineSearch(words: SearchWords): void {
  if (customElements.get("book-search")) return;
  customElements.define(
    "book-search",
    class extends HTMLElement {
      connectedCallback(): void {
        const input = this.querySelector<HTMLInputElement>("input[type=search]");
        if (input) enhance(this, input, words);
      }
    },
  );
}

const listed = 8;
const sections = 3;
const pause = 20;
let opened: Promise<Search> | undefined;
let count = 0;

function enhance(host: HTMLElement, input: HTMLInputElement, words: SearchWords): void {
  const stays = host.hasAttribute("open");
  const panel = host.appendChild(element("div", "search-panel"));
  const status = panel.appendChild(element("p", "search-status"));
  const list = panel.appendChild(element("div", "search-list"));
  const missing = host.querySelector<HTMLAnchorElement>("a[data-nothing]");
  const missingAddress = missing?.href;
  const id = `search-${++count}`;
  let active = -1;
  let unanswered = false;
  let turn = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;

  status.setAttribute("role", "status");
  if (missing) panel.append(missing);
  set(list, { id, role: "listbox", "aria-label": words.results });
  set(input, {
    role: "combobox",
    autocomplete: "off",
    "aria-autocomplete": "list",
    "aria-haspopup": "listbox",
    "aria-controls": id,
    "aria-expanded": "false",
  });
  panel.classList.add("search-closed");

  const options = (): readonly HTMLAnchorElement[] => [...list.querySelectorAll<HTMLAnchorElement>("[role=option]")];
  /** The status stays where a screen reader can hear it; what can be followed is hidden with the panel. */
  const show = (visible: boolean): void => {
    const open = visible || stays;
    panel.classList.toggle("search-closed", !open);
    list.hidden = !open || options().length === 0;
    if (missing) missing.hidden = !open || !unanswered;
    input.setAttribute("aria-expanded", String(!list.hidden));
    if (!visible) point(-1);
  };
  const point = (to: number): void => {
    active = to;
    options().forEach((option, index) => {
      option.setAttribute("aria-selected", String(index === active));
      if (index !== active) return;
      option.scrollIntoView({ block: "nearest" });
      input.setAttribute("aria-activedescendant", option.id);
    });
    if (active < 0) input.removeAttribute("aria-activedescendant");
  };
  const say = (text: string, results: readonly Node[] = []): void => {
    status.textContent = text;
    list.replaceChildren(...results);
    options().forEach((option, index) => {
      set(option, { id: `${id}-${index}`, tabindex: "-1", "aria-selected": "false" });
    });
    point(-1);
    show(text !== "");
  };
  const note = (query: string): void => {
    unanswered = query !== "";
    if (missing && missingAddress) missing.href = withQuery(missingAddress, "about", query);
  };

  const search = async (): Promise<void> => {
    const mine = ++turn;
    const query = input.value.trim();
    note("");
    if (query === "") return say("");
    if (!root) return say(words.unbuilt);
    try {
      opened ??= openSearch(root);
      const slow = setTimeout(() => mine === turn && list.hidden && say(words.opening), 300);
      const { names, find } = await opened;
      const found = new Map((await find(query)).map((result) => [result.id, result]));
      const question = questionIn(query, { asked: words.asked ?? {}, fillers: words.fillers ?? [] });
      const pages = ranked(query, names, [...found.values()], question);
      const shown = pages.slice(0, listed);
      const texts = await Promise.all(shown.map((page) => found.get(page.id)?.data()));
      clearTimeout(slow);
      if (mine !== turn) return;
      if (shown.length > 0) {
        const results = shown.map((page, index) => {
          const figures = question ? answersOf(page, question) : [];
          return result(page, texts[index], query, `${id}-title-${index}`, words, figures);
        });
        return say(words.found(pages.length, shown.length, query), results);
      }
      const near = nearest(query, names, (name) => [name.title, ...name.names], 3);
      note(query);
      say(
        words.nothing(query, near.length),
        near.map((page, index) => result(page, undefined, query, `${id}-title-${index}`, words)),
      );
    } catch {
      opened = undefined;
      if (mine === turn) say(words.failed);
    }
  };

  input.addEventListener("focus", () => {
    if (root) opened ??= openSearch(root);
    opened?.catch(() => undefined);
    if (status.textContent !== "") show(true);
  });
  input.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(search, pause);
  });
  input.addEventListener("keydown", (event) => {
    const all = options();
    const step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
    if (step !== 0 && all.length > 0) {
      event.preventDefault();
      show(true);
      const places = all.length + 1;
      point(((active + 1 + step + places) % places) - 1);
    } else if (event.key === "Enter" && active >= 0) {
      event.preventDefault();
      all[active]?.click();
    } else if (event.key === "Escape" && !list.hidden && !stays) {
      event.preventDefault();
      show(false);
    }
  });
  list.addEventListener("click", () => show(false));
  host.addEventListener("focusout", (event) => {
    if (!(event.relatedTarget instanceof Node && host.contains(event.relatedTarget))) show(false);
  });

  // The script may come when somebody is here already, and typing.
  if (document.activeElement === input) {
    if (root) opened ??= openSearch(root);
    opened?.catch(() => undefined);
    if (input.value.trim() !== "") void search();
  }
  const asked = new URLSearchParams(location.search).get(input.name);
  if (asked && stays) {
    input.value = asked;
    void search();
  }
}

/** A page as a group of options: itself, the figures of it that were asked for, then the sections of it that fit. */
function result(
  page: Name,
  text: Text | undefined,
  query: string,
  titleId: string,
  words: SearchWords,
  figures: readonly AskedFigure[] = [],
): HTMLElement {
  const group = element("div", "search-result");
  set(group, { role: "group", "aria-labelledby": titleId });
  const option = group.appendChild(link(page, ""));
  const kind = words.kinds[page.kind];
  if (kind) option.append(element("span", "search-kind", kind), " ");
  const best = parted(text?.excerpt ?? "", page.title);
  const title = option.appendChild(marked("search-title", best.title));
  title.id = titleId;
  const anchored = text?.sub_results.filter(({ anchor }) => anchor) ?? [];
  const headed = (section: (typeof anchored)[number]): number => (fold(section.title).includes(fold(query)) ? 0 : 1);
  const inSections = anchored.toSorted((a, b) => headed(a) - headed(b));
  const other = page.names.filter((name) => isOther(name, page.title, query)).slice(0, 2);
  if (other.length > 0) option.append(" ", element("span", "search-also", words.also(other)));
  for (const { label, text, basis, place } of figures) {
    const figure = group.appendChild(link(page, place && `#${encodeURIComponent(place)}`));
    figure.classList.add("search-section", "search-figure");
    const letter = figure.appendChild(element("span", `mark ${basis}`, basis));
    letter.title = words.basis?.[basis] ?? "";
    figure.prepend(element("span", "search-label", label), " ", element("b", "", text), " ");
    figure.append(" ", element("span", "unseen", words.basis?.[basis] ?? ""));
  }
  if (figures.length > 0) return group;
  if (text && other.length === 0 && inSections.length < text.sub_results.length)
    option.append(" ", marked("search-excerpt", best.rest));
  for (const section of inSections.slice(0, sections)) {
    const place = group.appendChild(link(page, `#${encodeURIComponent(section.anchor?.id ?? "")}`));
    place.classList.add("search-section");
    const { title, rest } = parted(section.excerpt, section.title);
    place.append(marked("search-title", title), " ", marked("search-excerpt", rest));
  }
  return group;
}

/** Whether a name has what was typed and its page's title has not; a slip of the title's own letters is no other name. */
function isOther(name: string, title: string, query: string): boolean {
  const [written, titled] = [fold(query), fold(title)];
  if (!fold(name).includes(written) || titled.includes(written)) return false;
  const near = (word: string): boolean => titled.split(" ").some((other) => distance(word, other) <= 2);
  return !written.split(" ").every((word) => word.length > 3 && near(word));
}

function link(page: Name, place: string): HTMLAnchorElement {
  const option = document.createElement("a");
  option.className = "search-option";
  option.setAttribute("role", "option");
  option.href = new URL(encodeURI(page.url) + place, root).href;
  return option;
}

/** Lines that begin with the title they stand under, parted from it; the title keeps its marks. */
function parted(lines: string, title: string): { readonly title: string; readonly rest: string } {
  const words = lines.split(" ");
  const length = title.split(/\s+/).length;
  const head = words
    .slice(0, length)
    .join(" ")
    .replace(/\.(?=(<\/mark>)?$)/, "");
  const plain = head.replace(/<\/?mark>/g, "");
  return plain === escaped(title)
    ? { title: head, rest: words.slice(length).join(" ") }
    : { title: escaped(title), rest: lines };
}

const escaped = (text: string): string => text.replaceAll("<", "&lt;").replaceAll(">", "&gt;");

/** Lines as nodes: marks are kept, anything else stays the text it is. */
function marked(className: string, lines: string): HTMLElement {
  const parts = lines.split(/<mark>(.*?)<\/mark>/s);
  const plain = (part: string): string => part.replaceAll("&lt;", "<").replaceAll("&gt;", ">");
  const whole = element("span", className);
  whole.append(...parts.map((part, index) => (index % 2 === 1 ? element("mark", "", plain(part)) : plain(part))));
  return whole;
}

function withQuery(address: string, name: string, value: string): string {
  const url = new URL(address);
  url.searchParams.set(name, value);
  return url.href;
}

function element(name: string, className: string, text = ""): HTMLElement {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.textContent = text;
  return made;
}

function set(target: Element, attributes: Readonly<Record<string, string>>): void {
  for (const [name, value] of Object.entries(attributes)) target.setAttribute(name, value);
}
