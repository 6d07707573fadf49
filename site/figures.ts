import type { StaffEdition } from "../generator/editions.ts";
import { words } from "./words.ts";

export type StaffCrop = StaffEdition["crops"][number];
/** A figure as a page shows it. */
export type Told = StaffCrop["figures"][string];
export type Basis = Told["basis"];
export type Figures = Readonly<Record<string, Told>>;
export type Sum = StaffEdition["feeds"][number]["sums"][number];

/** A figure's number and unit apart, so that the number can be large. */
export function parted({ text, unit }: Pick<Told, "text" | "unit">): {
  readonly number: string;
  readonly unit: string;
} {
  if (unit === "" || unit === "pH") return { number: text, unit: "" };
  const at = text.search(/[^\d.,–−\- to\u202f¤]/);
  const cut = at < 0 ? text.length : at;
  return { number: text.slice(0, cut).trim(), unit: text.slice(cut).trim() };
}

/** A figure's label; in a stage it says which. */
export function labelOf({ path, label }: Pick<Told, "path" | "label">): string {
  const [topic = "", stage = ""] = path.split(".");
  if (label === path && words.listed[topic]) return words.listed[topic](stage);
  const name = topic === "stages" ? words.stages[stage as keyof typeof words.stages] : undefined;
  const element = topic === "ions" ? words.elements[label] : undefined;
  if (element) return `${element[0]?.toUpperCase()}${element.slice(1)}`;
  return name ? `${name}: ${label.toLowerCase()}` : label;
}

/** Figures by topic, in the order of the record. */
export function byTopic(figures: Figures): readonly { readonly topic: string; readonly figures: readonly Told[] }[] {
  const topicOf = ({ path }: Told) => words.topics[path.split(".")[0] ?? ""] ?? "";
  return [...Map.groupBy(Object.values(figures), topicOf)].map(([topic, figures]) => ({ topic, figures }));
}

/** The place on the page that says what a figure leans on. */
export function sourcePlace({ basis, cited }: Pick<Told, "basis" | "cited">): string {
  const named = cited.find((one) => one.text !== "" && one.basis === basis);
  return named ? `#from-${named.id}` : `#basis-${words.basis[basis].letter}`;
}

/** A work behind some figures, with the labels of what it gives; a trial of the book's own has a page. */
export interface Work {
  readonly id: string;
  readonly basis: Basis;
  readonly text: string;
  readonly gives: readonly string[];
  readonly trial?: string | undefined;
}

/** The works behind some figures, each once, with the labels of what it gives. */
export function worksBehind(figures: Figures): readonly Work[] {
  const works = new Map<string, Work & { readonly gives: string[] }>();
  for (const figure of Object.values(figures)) {
    for (const { id, basis, text, trial } of figure.cited) {
      if (text === "") continue;
      const work = works.get(id) ?? { id, basis, text, gives: [], trial };
      work.gives.push(givenFor(figure));
      works.set(id, work);
    }
  }
  return [...works.values()];
}

/** What a work gives: the figure's label, and the related plant that the work speaks of, if it is not this one. */
function givenFor(figure: Told): string {
  return figure.borrowed ? `${labelOf(figure)} (${words.sources.borrowed(figure.borrowed)})` : labelOf(figure);
}

/** The bases that some figures and sums rest on, the strongest first. */
export function basesOf(figures: Figures, sums: readonly Pick<Sum, "basis">[] = []): readonly Basis[] {
  const used = new Set([...Object.values(figures), ...sums].map(({ basis }) => basis));
  return (Object.keys(words.basis) as Basis[]).filter((basis) => used.has(basis));
}

/** The place on a crop's page of a sign that something is wrong, by its name in any script: letters and digits, which no address changes. */
export function signPlace(name: string): string {
  return `sign-${name
    .normalize("NFC")
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "-")}`;
}

/** A heading as a name for its place on the page. */
export function slug(text: string): string {
  return text
    .toLowerCase()
    .normalize("NFKD")
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "");
}
