import { Tokenizer, type TokenizerCallbacks } from "htmlparser2";

/** From where to where something stands in a text. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

/** An element of a page, with the places of its parts in the page's text. */
export interface Element {
  readonly tagName: string;
  /** Attributes by their names as HTML has them, `http-equiv`. */
  readonly properties: Readonly<Record<string, string>>;
  readonly places: Readonly<Record<string, Span>>;
  /** From the beginning of its tag to the end of its closing tag. */
  readonly whole?: Span;
  readonly tag: Span;
  readonly closing?: Span;
  /** What it begins with, where that is text. */
  readonly text?: Span & { readonly value: string };
}

/** A page as text, and its elements in their order. */
export interface Page {
  readonly source: string;
  readonly elements: readonly Element[];
}

/** Reads the tags of a page where they stand. What a browser would put in that is not there is left out. */
export function readPage(source: string): Page {
  const elements: Open[] = [];
  const around: Open[] = [];
  let current: Open | undefined;
  let attribute = { name: "", start: 0, value: "" };
  const begun = (end: number): void => {
    if (!current) return;
    current.tag = { start: current.tag.start, end: end + 1 };
    if (voids.has(current.tagName) || source[end - 1] === "/") current.whole = current.tag;
    else around.push(current);
  };
  const text = (start: number, end: number, value: string): void => {
    const parent = around.at(-1);
    if (!parent || parent !== elements.at(-1) || parent.closing) return;
    if (!parent.text && start === parent.tag.end) parent.text = { start, end, value };
    else if (parent.text?.end === start) parent.text = { ...parent.text, end, value: parent.text.value + value };
  };
  const reads: Partial<TokenizerCallbacks> = {
    onopentagname(start, end) {
      current = {
        tagName: source.slice(start, end).toLowerCase(),
        properties: none,
        places: none,
        tag: { start: start - 1, end },
      };
      elements.push(current);
    },
    onattribname(start, end) {
      attribute = { name: source.slice(start, end).toLowerCase(), start, value: "" };
    },
    onattribdata(start, end) {
      attribute.value += source.slice(start, end);
    },
    onattribentity(code) {
      attribute.value += String.fromCodePoint(code);
    },
    onattribend(_quote, end) {
      const { name, start, value } = attribute;
      if (!current || Object.hasOwn(current.properties, name)) return;
      if (current.properties === none) Object.assign(current, { properties: {}, places: {} });
      current.properties[name] = value;
      current.places[name] = { start, end };
    },
    onopentagend: begun,
    onselfclosingtag: begun,
    onclosetag(start, end) {
      const name = source.slice(start, end).toLowerCase();
      const at = around.findLastIndex(({ tagName }) => tagName === name);
      if (at < 0) return;
      const close = source.indexOf(">", end) + 1 || source.length;
      // What was not closed by itself ends with what is around it.
      for (const inner of around.splice(at + 1)) inner.whole = { start: inner.tag.start, end: start - 2 };
      const closed = around.pop()!;
      closed.closing = { start: start - 2, end: close };
      closed.whole = { start: closed.tag.start, end: close };
    },
    ontext: (start, end) => text(start, end, source.slice(start, end)),
    ontextentity(code, end) {
      const start = source.lastIndexOf("&", end - 1);
      text(start, end, String.fromCodePoint(code));
    },
  };
  const tokenizer = new Tokenizer({ xmlMode: false, decodeEntities: true }, { ...ignored, ...reads });
  tokenizer.write(source);
  tokenizer.end();
  for (const open of around) open.whole = { start: open.tag.start, end: source.length };
  return { source, elements };
}

/** One change to a text: what stands from `start` to `end` becomes `text`. */
export interface Edit extends Span {
  readonly text: string;
}

export function edited(source: string, edits: readonly Edit[]): string {
  let result = "";
  let done = 0;
  for (const { start, end, text } of [...edits].sort((a, b) => a.start - b.start)) {
    result += source.slice(done, start) + text;
    done = end;
  }
  return result + source.slice(done);
}

/** An element while it is read. */
interface Open {
  readonly tagName: string;
  readonly properties: Record<string, string>;
  readonly places: Record<string, Span>;
  tag: Span;
  whole?: Span;
  closing?: Span;
  text?: Span & { readonly value: string };
}

/** What an element without attributes has: most have none. */
const none: Record<string, never> = Object.freeze({});

const nothing = (): void => {};
const ignored: TokenizerCallbacks = {
  onattribdata: nothing,
  onattribentity: nothing,
  onattribend: nothing,
  onattribname: nothing,
  oncdata: nothing,
  onclosetag: nothing,
  oncomment: nothing,
  ondeclaration: nothing,
  onend: nothing,
  onopentagend: nothing,
  onopentagname: nothing,
  onprocessinginstruction: nothing,
  onselfclosingtag: nothing,
  ontext: nothing,
  ontextentity: nothing,
};

/** Elements that hold nothing. @see WHATWG, HTML, section 13.1.2, void elements. */
const voids: ReadonlySet<string> = new Set("area base br col embed hr img input link meta source track wbr".split(" "));
