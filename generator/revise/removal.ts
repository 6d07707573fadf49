import type { Document, YAMLMap, YAMLSeq } from "yaml";
import { isAlias, isCollection, isMap, isNode, isPair, isScalar, isSeq, type Node, type Pair, visit } from "yaml";
import type { Path, Removal } from "../revise.ts";
import type { Front } from "./front.ts";
import { says, shapeOf } from "./proof.ts";
import {
  aliasesIn,
  changed,
  childOf,
  endOf,
  heldBack,
  lineBefore,
  lookUp,
  type Refusal,
  type Splice,
  startOf,
} from "./splice.ts";

/** What must be taken out so that a field or an item of a list is gone, or why that cannot be. */
export function removalOf(front: Front, removal: Removal): Splice | Refusal {
  const { document } = front;
  const asked = removal.path;
  if (asked.length === 0) return { refusal: "Nothing says which field is to be taken out" };
  const used = aliasesIn(document);
  let node: unknown = document.contents;
  for (const [index, step] of asked.entries()) {
    const held = heldBack(node, used, asked.slice(0, index));
    if (held) return held;
    const next = isMap(node) || isSeq(node) ? childOf(node, step) : undefined;
    if (!next) return absent(asked, removal.was);
    node = next.node;
  }
  if (removal.was !== undefined && !says(shapeOf(node), removal.was))
    return typeof removal.was === "string"
      ? changed(asked, removal.was, isScalar(node) ? String(node.value) : "something else")
      : {
          refusal: `\`${asked.join(".")}\` no longer says what it said: it was changed meanwhile. Look at it once more`,
        };
  const path = goes(document, removal);
  const around = lookUp(document, path.slice(0, -1)) as YAMLMap | YAMLSeq;
  const place = placeOf(around, path.at(-1)!);
  if (around === document.contents && around.items.length === 1)
    return { refusal: `\`${path.join(".")}\` is all that the record says, and cannot be taken out` };
  const held = heldInside(around.items[place], used, path);
  if (held) return held;
  const inFlow = path.some((_step, index) => {
    const outer = lookUp(document, path.slice(0, index));
    return isCollection(outer) && outer.flow === true;
  });
  return inFlow ? fromBrackets(front, around, place) : wholeLines(front, around, place, path);
}

/** The path of what goes: what was asked for, or the outermost thing around it that would be left with nothing in it. */
export function goes(document: Document.Parsed, { path, emptied }: Removal): Path {
  let gone = path;
  while (emptied === "drop" && gone.length > 1) {
    const around = lookUp(document, gone.slice(0, -1));
    if (!isCollection(around) || around.items.length !== 1) break;
    gone = gone.slice(0, -1);
  }
  return gone;
}

function absent(path: Path, was: Removal["was"]): Refusal {
  if (typeof was === "string") return changed(path, was);
  return { refusal: `There is no \`${path.join(".")}\` here to be taken out` };
}

function placeOf(around: YAMLMap | YAMLSeq, step: string | number): number {
  if (isSeq(around)) return Number(step);
  return around.items.findIndex(({ key }) => isScalar(key) && String(key.value) === String(step));
}

/** Why what goes may not: something in it is said again elsewhere by its name. */
function heldInside(item: unknown, used: ReadonlySet<string>, path: Path): Refusal | undefined {
  let held: Refusal | undefined;
  const value = isPair(item) ? item.value : item;
  if (!isNode(value) || isAlias(value)) return undefined;
  visit(value, (_key, node) => {
    if (isNode(node) && !isAlias(node)) held ??= heldBack(node, used, path);
    return held ? visit.BREAK : undefined;
  });
  return held;
}

/** Takes an item out of a list or a mapping in brackets, with the comma before it, or the one behind the first. */
function fromBrackets({ yaml }: Front, around: YAMLMap | YAMLSeq, place: number): Splice {
  const item = (at: number) => around.items[at] as Node | Pair<Node, Node | null>;
  const [from, to] = [startOf(around, place), endOf(item(place))];
  if (place > 0) return { from: endOf(item(place - 1)), to, put: "" };
  if (around.items.length > 1) return { from, to: startOf(around, 1), put: "" };
  const comma = /^[ ]*,/.exec(yaml.slice(to))?.[0].length ?? 0;
  const before = /[ ]*$/.exec(yaml.slice(0, from))![0].length;
  const behind = isMap(around) ? /^[ ]*/.exec(yaml.slice(to + comma))![0].length : 0;
  return { from: from - before, to: to + comma + behind, put: "" };
}

/** Takes out the lines that an item stands on; of the first field behind a hyphen, what is as far as the next field. */
function wholeLines(front: Front, around: YAMLMap | YAMLSeq, place: number, path: Path): Splice | Refusal {
  const { yaml } = front;
  const from = startOf(around, place);
  const to = endOf(around.items[place] as Node | Pair<Node, Node | null>);
  const start = lineBefore(front, from);
  if (start === undefined) {
    if (place > 0 || around.items.length === 1)
      return { refusal: `\`${path.join(".")}\` stands on a line with something else. Change it by hand` };
    return { from, to: startOf(around, 1), put: "" };
  }
  const next = yaml.indexOf("\n", to);
  const end = yaml[to - 1] === "\n" ? to : next < 0 ? yaml.length : next + 1;
  if (/#/.test(yaml.slice(to, end)))
    return { refusal: `A remark stands beside \`${path.join(".")}\`, and would go with it. Change it by hand` };
  return { from: start, to: end, put: "" };
}
