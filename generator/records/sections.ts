import type { Reader } from "./fields.ts";
import type { Kind } from "./index.ts";

/** What a heading of a record's body holds: who may read it, and how long it may be. */
export interface SectionRule {
  readonly reader: Reader;
  /** At most so many words; the small sheets have no room for more. */
  readonly words?: number;
}

const open: SectionRule = { reader: "everyone" };
const house: SectionRule = { reader: "staff" };
const growingOn: SectionRule = { reader: "everyone", words: 90 };

/** The headings that each kind of record knows; `""` is what stands before the first. Any other heading stays in the house. */
export const sectionRules: Readonly<Partial<Record<Kind, Readonly<Record<string, SectionRule>>>>> = {
  crops: {
    "": open,
    "Feed and light": house,
    "On the tower": house,
    Cutting: house,
    Keeping: house,
    "Sources differ": house,
    Notes: house,
    "Growing on in a soil bed": growingOn,
    "Growing on in a pot": growingOn,
    "Growing on without soil": growingOn,
  },
  guides: {
    "": open,
    "You need": open,
    Steps: open,
    Today: open,
    "This week": open,
    After: open,
    "If something looks wrong": open,
    "Before you eat it": open,
    Why: open,
    "Ask us": open,
    Notes: house,
  },
  glossary: { "": open, Notes: house },
  news: { "": open, Notes: house },
};

/** Who may read the section `heading` of a record of `kind`. What is not named stays in the house. */
export function sectionReader(kind: Kind, heading: string): Reader {
  const rules = sectionRules[kind] ?? {};
  return (Object.hasOwn(rules, heading) ? rules[heading]?.reader : undefined) ?? "staff";
}
