import { edition, ofEdition, staff } from "./edition.ts";
import { signPlace } from "./figures.ts";
import { nameOf } from "./names.ts";
import { reallyWords } from "./really/words.ts";
import { fold } from "./search/near.ts";
import { words } from "./words.ts";
import { sheets } from "./worksheets.ts";

/** One line of the A to Z. */
export interface Entry {
  readonly name: string;
  readonly address: string;
  /** What the name leads to, when that is called something else. */
  readonly under?: string;
  readonly letter: string;
}

const plans = [
  ["/plan", words.plan.plan],
  ["/plan/room", words.plan.room],
  ["/plan/feed", words.plan.feed],
  ["/plan/light", words.plan.light],
  ["/really", reallyWords],
] as const;

/** Every name, sign, job and word of the edition, in the order of the alphabet. */
export const entries = ofEdition((): readonly Entry[] =>
  [
    ...edition.crops.flatMap(({ id, name, also, botanical, trouble }) => [
      entry(name, `/crops/${id}`),
      ...[...(also ?? []), botanical].map((other) => entry(other, `/crops/${id}`, `${words.index.see} ${name}`)),
      ...Object.entries(trouble ?? {}).map(([sign, { sign: says }]) =>
        entry(says, `/crops/${id}#${signPlace(sign)}`, words.index.signOf(name)),
      ),
    ]),
    ...[words.sure.title, ...words.sure.names].map((name) =>
      entry(name, "/how-sure", name === words.sure.title ? undefined : `${words.index.see} ${words.sure.title}`),
    ),
    ...edition.guides.flatMap(({ id, title, search }) => [
      entry(title, `/guides/${id}`),
      ...(search ?? []).map((other) => entry(other, `/guides/${id}`, `${words.index.see} ${title}`)),
    ]),
    ...edition.glossary.flatMap(({ id, term, also }) => [
      entry(term, `/glossary#${id}`, words.searchKinds.words),
      ...(also ?? []).map((other) => entry(other, `/glossary#${id}`, `${words.index.see} ${term}`)),
    ]),
    ...sheets().flatMap(({ id, worksheet }) => [
      entry(worksheet.question, `/worksheets/${id}`),
      ...(words.forms.also[id] ?? []).map((other) =>
        entry(other, `/worksheets/${id}`, `${words.index.see} ${worksheet.question}`),
      ),
    ]),
    ...(staff ? plans : []).flatMap(([address, { title, names }]) => [
      entry(title, address),
      ...names.map((other) => entry(other, address, `${words.index.see} ${title}`)),
    ]),
    ...(staff?.feeds ?? []).map(({ id, name }) => entry(name, `/feeds/${id}`, words.searchKinds.feed)),
    ...(staff?.gear ?? []).map(({ id, name }) => entry(name, `/gear/${id}`, words.searchKinds.gear)),
    ...(staff?.salts ?? []).map(({ id, name }) => entry(name, `/salts/${id}`, words.searchKinds.salt)),
    ...(staff?.waters ?? []).map(({ id, name }) => entry(name, `/waters/${id}`, words.searchKinds.water)),
    ...(staff?.batches ?? []).map(({ id, code, crop }) => entry(code, `/batches/${id}`, nameOf(crop))),
  ]
    .filter(({ name, under }) => under === undefined || fold(under) !== fold(`${words.index.see} ${name}`))
    .sort((a, b) => inOrder.compare(a.name, b.name)),
);

const inOrder = new Intl.Collator("en-GB", { sensitivity: "base", numeric: true });

/** A name without the article that it begins with, as an index has it. */
function entry(written: string, address: string, under?: string): Entry {
  const name = written.replace(/^(?:an?|the) (?!and )/i, "");
  const first = `${name[0]?.toUpperCase() ?? ""}${name.slice(1)}`;
  const letter = first.normalize("NFKD")[0] ?? "";
  return {
    name: first,
    address,
    letter: /[A-Z]/.test(letter) ? letter : "0–9",
    ...(under === undefined ? {} : { under }),
  };
}
