import { type Document, isMap } from "yaml";
import { commentsIn, type Front, frontOf } from "./revise/front.ts";
import { differsOnlyAt, insertedAt, removedAt, type Shape, shapeOf } from "./revise/proof.ts";
import { goes, removalOf } from "./revise/removal.ts";
import { lookUp, type Splice, spliceOf } from "./revise/splice.ts";

/** Names of fields and places in lists, from the top of a record: `["moves", "tower", "plants"]`. */
export type Path = readonly (string | number)[];

/** What a field is to say. A record holds text; what a text means is for its field to say. */
export type Value = string | readonly Value[] | { readonly [name: string]: Value };

/** One fact of a record: it is changed where it stands, and added where it does not. */
export interface Change {
  /** A place in a list may be one past its end: then the list grows. */
  readonly path: Path;
  /** A mapping is written on one line, `{ on: 2027-03-20, plants: 96 }`; into one that stands its fields are put one by one. */
  readonly value: Value;
  /** What the field must say now. When it says anything else, nothing is changed. */
  readonly was?: string;
  /** The path ends in a place of a list, before its end or at it: what stood there goes one on. */
  readonly insert?: true;
  /** A mapping as a new item of a list is written a field a line, where no bracket stands around it. */
  readonly lines?: true;
}

/**
 * A field or an item of a list that goes, with the lines that are its own; in brackets with one comma. Remarks stay: where
 * one stands beside it or inside it, it is not taken out.
 */
export interface Removal {
  readonly path: Path;
  readonly remove: true;
  /** What must stand there now. When anything else does, nothing is changed. */
  readonly was?: Value;
  /** The mapping or list around it goes too when nothing is left in it, and so on outwards; else it stays, with nothing in it. */
  readonly emptied?: "drop";
}

export type Edit = Change | Removal;

/** The text with every change made, or why none of them was. */
export type Revised = { readonly text: string } | { readonly refusal: string };

/** The names of a mapping's fields in the order in which a record has them; undefined when there is none. */
export type Order = (path: Path) => readonly string[] | undefined;

/**
 * Changes, adds and takes out single facts in the front matter of a record and no other byte of it: comments, order, quoting, line endings,
 * blanks, the mark at the start of the file and the text below stay as they are. A value keeps its own style of quoting, a
 * new field takes the indentation of its neighbours and stands where `order` has it, else last in its mapping.
 *
 * After every change the text is read again. It is refused unless the field says what was meant or is gone, every other field
 * says what it said before, in the same order, and the same comments stand. Refused as well: front matter that cannot be read,
 * a value that is an alias or carries an anchor that is used elsewhere, a text over several lines, a mapping where a text
 * should be.
 *
 * Pure: text in, text out. All changes are made, or none.
 */
export function edit(text: string, changes: readonly Edit[], order: Order = () => undefined): Revised {
  const front = frontOf(text);
  if ("refusal" in front) return front;
  let state: State = { text, front };
  for (const change of changes) {
    for (const one of singly(state.front.document, change)) {
      const next = editOne(state, one, order);
      if ("refusal" in next) return next;
      state = next;
    }
  }
  return { text: state.text };
}

/** A text and what was read in it. */
interface State {
  readonly text: string;
  readonly front: Front;
}

function editOne({ text, front }: State, change: Edit, order: Order): State | { readonly refusal: string } {
  const splice = "remove" in change ? removalOf(front, change) : spliceOf(front, change, order);
  if ("refusal" in splice) return splice;
  const revised = spliced(text, front, splice);
  const after = frontOf(revised);
  if ("refusal" in after || !proven(front, after, change))
    return {
      refusal: `\`${change.path.join(".")}\` cannot be ${"remove" in change ? "taken out" : "set"} here without touching what stands around it. Change it by hand`,
    };
  return { text: revised, front: after };
}

/** A mapping put into one that stands is as many changes as it has fields. */
function singly(document: Document.Parsed, change: Edit): readonly Edit[] {
  if ("remove" in change) return [change];
  const { path, value } = change;
  const nested = !change.insert && typeof value === "object" && !Array.isArray(value) && isMap(lookUp(document, path));
  if (!nested) return [change];
  return Object.entries(value).flatMap(([name, inner]) => singly(document, { path: [...path, name], value: inner }));
}

function spliced(text: string, front: Front, { from, to, put }: Splice): string {
  return text.slice(0, front.at(from)) + put + text.slice(front.at(to));
}

/** Whether the new text says what was meant, and all else as before. */
function proven(before: Front, after: Front, change: Edit): boolean {
  const [old, now] = [shape(before), shape(after)];
  const said =
    "remove" in change
      ? removedAt(old, now, goes(before.document, change))
      : change.insert
        ? insertedAt(old, now, change.path, change.value)
        : differsOnlyAt(old, now, change.path, change.value);
  return said && commentsIn(before).join("\n") === commentsIn(after).join("\n");
}

function shape({ document }: Front): Shape {
  return shapeOf(document.contents);
}
