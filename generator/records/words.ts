import type { z } from "zod";
import { count, date } from "./amounts.ts";
import { audience, history, initials, sources } from "./common.ts";
import {
  type Complain,
  everyone,
  group,
  list,
  mapping,
  nobody,
  reference,
  sensible,
  text,
  type Written,
  word,
} from "./fields.ts";

/** What a value may lean on: a published work, or a trial of our own. */
export const Source = sensible(
  group({
    kind: everyone(word(["published", "own-trial"])).meta({ label: "Kind" }),
    title: everyone(text()).meta({ label: "Title" }),
    author: everyone(text()).meta({ label: "Author" }).optional(),
    year: everyone(count({ within: [1500, 2200] }))
      .meta({ label: "Year" })
      .optional(),
    locator: everyone(text()).meta({ label: "Where" }).optional(),
    read: everyone(word(["whole", "part", "memory"]))
      .meta({
        label: "Read",
        help: "`whole` or `part` of it was read in a copy; `memory` means that it was not looked up again.",
      })
      .optional(),
    trial: reference("trials").meta({ label: "Trial" }).optional(),
    on: date().meta({ label: "Date" }).optional(),
    place: text().meta({ label: "Place" }).optional(),
    by: initials().optional(),
  }),
  cited,
);
export type Source = z.output<typeof Source>;

/** What of a yard's own records can stand beside a rule of thumb. */
export const besideRules = ["water", "days", "weight", "mister"] as const;

/** How we do things here. */
export const Guide = group({
  title: everyone(text()).meta({ label: "Title" }),
  audience: audience().optional(),
  kind: everyone(word(["guide", "emergency"]))
    .meta({ label: "Kind" })
    .optional(),
  order: count({ within: [0, 1000] })
    .meta({ label: "Place in the list" })
    .optional(),
  summary: everyone(text()).meta({ label: "In short" }),
  search: everyone(list(text())).meta({ label: "Also found by" }).optional(),
  cautions: everyone(mapping(text(), text())).meta({ label: "Before you start" }).optional(),
  rules: mapping(text(), rule())
    .meta({
      label: "Rules of thumb",
      help: "Each under a short name of your own, with what of the yard stands beside it.",
    })
    .optional(),
  reviewed: date().meta({ label: "Last reviewed" }).optional(),
  by: initials().optional(),
  history: history().optional(),
  sources: sources().optional(),
});
export type Guide = z.output<typeof Guide>;

/** A word of the trade and what it means. */
export const Term = group({
  term: everyone(text()).meta({ label: "Term" }),
  also: everyone(list(text())).meta({ label: "Also written" }).optional(),
  audience: audience().optional(),
  see: everyone(list(reference("glossary")))
    .meta({ label: "See", refers: "glossary" })
    .optional(),
});
export type Term = z.output<typeof Term>;

/** Something that readers will notice in the next edition. */
export const News = group({
  title: everyone(text()).meta({ label: "What changed" }),
  on: everyone(date()).meta({ label: "On" }),
  audience: audience().optional(),
  pages: everyone(list(text())).meta({ label: "Print again" }).optional(),
  by: nobody(text()).meta({ label: "By", reader: "nobody" }).optional(),
});
export type News = z.output<typeof News>;

/** What people say of growing, and which of the yard's own figures stand beside it. */
function rule() {
  return group({
    says: text().meta({ label: "People say" }),
    against: text()
      .meta({ label: "Compared with", help: "What one would have to grow here as well to tell." })
      .optional(),
    beside: word(besideRules)
      .meta({ label: "Beside it", help: "The yard's own figures that come nearest." })
      .optional(),
  });
}

/** Asks for what makes a source something that one can look up. */
function cited(
  { kind }: { readonly kind?: "published" | "own-trial" | undefined },
  complain: Complain,
  written: Written,
): void {
  if (!kind) return;
  const wanted = kind === "published" ? ["author", "locator"] : ["on", "place"];
  for (const field of wanted.filter((name) => !(name in written))) {
    complain([field], {
      rule: "citation-missing",
      expected: `\`${field}\``,
      note:
        kind === "published"
          ? "A published value needs something that one can look up: who wrote it, and where it stands."
          : "A trial of our own needs its date and its place.",
    });
  }
}
