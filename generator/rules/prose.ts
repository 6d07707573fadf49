import { visit } from "unist-util-visit";
import { sectionsOf } from "../library.ts";
import { addressesIn, htmlIn, picturesIn, type Section, words } from "../prose.ts";
import { type Kind, kinds } from "../records/index.ts";
import { at } from "../records/messages.ts";
import { nearest } from "../records/nearest.ts";
import { sectionReader, sectionRules } from "../records/sections.ts";
import { leaves } from "../records/walk.ts";
import { claimsIn } from "./claims.ts";
import { type Draft, type Drafts, isOpen, type Known } from "./drafts.ts";

/** Looks over a record's text: its headings, its links, and what it promises to customers. */
export function checkProse(draft: Draft, drafts: Drafts, known: Known): void {
  const sections = sectionsOf(draft);
  sayHeadings(draft, sections);
  for (const section of sections) {
    const open = isOpen(draft) && draft.kind !== "book" && sectionReader(draft.kind, section.heading) === "everyone";
    sayUnshown(draft, section);
    sayLinks(draft, section, open, drafts, known);
    if (open) sayClaimsInText(draft, section);
  }
  if (isOpen(draft)) sayClaimsInFields(draft);
}

function sayHeadings({ kind, file, bodyLine, ...draft }: Draft, sections: readonly Section[]): void {
  const rules = kind === "book" ? undefined : sectionRules[kind];
  const headings = Object.keys(rules ?? {}).filter((heading) => heading !== "");
  const seen = new Map<string, number>();
  for (const section of sections) {
    const { heading } = section;
    const line = bodyLine + section.line;
    const first = seen.get(heading.toLowerCase());
    if (first !== undefined)
      at(file, line, {
        rule: "section-twice",
        written: heading,
        expected: "each heading once",
        note: `It stands on line ${first} too. Put the two together.`,
      });
    else seen.set(heading.toLowerCase(), line);
    if (!rules) continue;
    const rule = Object.hasOwn(rules, heading) ? rules[heading] : undefined;
    if (!rule && (kind !== "guides" || isOpen({ kind, fields: draft.fields }))) {
      const near = nearest(heading, headings);
      at(file, line, {
        rule: "section-unknown",
        written: heading,
        expected: "a heading that this kind of record knows",
        note: `${near ? `Did you mean \`${near}\`? ` : ""}As it is, only staff see this part.`,
      });
    }
    const length = rule?.words ? words(section).split(" ").length : 0;
    if (rule?.words && length > rule.words)
      at(file, line, {
        rule: "section-long",
        written: `${length} words`,
        expected: `at most ${rule.words} words`,
        note: `\`${heading}\` is printed on a small sheet, which has no room for more.`,
      });
  }
}

/** Tells what no page shows: HTML, pictures, and what is nested too deep to be read. */
function sayUnshown({ file, bodyLine }: Draft, section: Section): void {
  if (section.deep !== undefined)
    at(file, bodyLine + section.deep, {
      rule: "prose-deep",
      written: "lists or quotes in one another",
      expected: "a few at most",
      note: "Nobody can follow it, and no page shows it.",
    });
  if (section.dense !== undefined)
    at(file, bodyLine + section.dense, {
      rule: "prose-dense",
      written: "a paragraph with over a thousand stars, underscores or brackets",
      expected: "words",
      note: "Nobody can read it, and no page shows it. Leave a line free between what belongs apart.",
    });
  for (const { text, line, column } of picturesIn(section))
    at(
      file,
      bodyLine + line,
      {
        rule: "picture-in-prose",
        written: text,
        expected: "words",
        note: "Pages show drawings of their own and fetch no pictures: of this one they show its words alone.",
      },
      column,
    );
  for (const { text, line, column } of htmlIn(section)) {
    at(
      file,
      bodyLine + line,
      {
        rule: "html-in-prose",
        written: text,
        expected: "Markdown",
        note: "No page shows HTML. A `<` that is meant as such is written `\\<`.",
      },
      column,
      text.includes("\n") ? 0 : text.length,
    );
  }
}

/** Every address that is not outside the book must be a record's: `crops/basil`. */
function sayLinks(draft: Draft, section: Section, open: boolean, { records }: Drafts, known: Known): void {
  for (const { text: url, line, column, length } of addressesIn(section)) {
    if (/^(?:https?:|mailto:|#)/i.test(url)) continue;
    const [, folder = "", name = ""] = /^\.{0,2}\/?([a-z]+)\/([^/#?:]+?)(?:\.md)?$/.exec(url) ?? [];
    const kind = Object.hasOwn(kinds, folder) ? (folder as Kind) : undefined;
    if (!kind || !known[kind].has(name)) {
      const near = kind && nearest(name, known[kind]);
      at(
        draft.file,
        draft.bodyLine + line,
        {
          rule: "link-broken",
          written: url,
          expected: "the folder and name of a record, such as `crops/basil`",
          note: near
            ? `Did you mean \`${kind}/${near}\`?`
            : kind
              ? `There is no file \`${kind}/${name}.md\`.`
              : "Links lead to records of this book, or to a whole address that starts with `https://`.",
        },
        column,
        length,
      );
      continue;
    }
    const target = records[kind].get(name);
    if (!open || !target || isOpen({ kind, fields: target.fields }) || isCited(kind, target.fields)) continue;
    at(
      draft.file,
      draft.bodyLine + line,
      {
        rule: "audience-leak",
        written: url,
        expected: "a record that customers may read",
        note: `Customers read this part, and \`${kind}/${name}.md\` is for staff. Say it in words without the link.`,
      },
      column,
      length,
    );
  }
}

/** A published source has nothing private: its citation is what customers see of it. */
function isCited(kind: Kind, fields: object): boolean {
  return kind === "sources" && (fields as { readonly kind?: string }).kind === "published";
}

function sayClaimsInText({ file, bodyLine }: Draft, { tree }: Section): void {
  if (modest.has(tree)) return;
  const before = file.messages.length;
  visit(tree, "text", ({ value, position }) => {
    for (const { index, slip } of claimsIn(value)) {
      const above = value.slice(0, index).split("\n");
      const line = (position?.start.line ?? 1) + above.length - 1;
      const column = above.length > 1 ? above.at(-1)!.length + 1 : (position?.start.column ?? 1) + index;
      at(file, bodyLine + line, slip, column, slip.written?.length);
    }
  });
  if (file.messages.length === before) modest.add(tree);
}

/** Texts and records that were found to promise nothing, and have not changed since. */
const modest = new WeakSet<object>();

function sayClaimsInFields({ schema, raw, say, file }: Draft): void {
  if (modest.has(raw)) return;
  const before = file.messages.length;
  for (const { path, value, meta, reader } of leaves(schema, raw)) {
    if (reader !== "everyone" || meta.form !== "text" || meta.refers || typeof value !== "string") continue;
    for (const { slip } of claimsIn(value)) say(path, slip);
  }
  if (file.messages.length === before) modest.add(raw);
}
