/**
 * Front matter that is written as nearly all of it is: a field and its value on a line, lists with hyphens, lists and mappings
 * in brackets on one line, plain or quoted text. Whatever else stands in it, were it a blank, an anchor, a text of several
 * lines or a slip, gives undefined, and is left to the reader that knows all of YAML and can tell what is wrong and where.
 * What this one gives is what that one would, every scalar as its text; it is there because it takes a tenth of the time.
 * @see YAML 1.2.2, sections 7.3 (flow scalars), 7.4 (flow collections), 8.2 (block collections)
 */
export function plainYaml(yaml: string): object | undefined {
  if (strange.test(yaml)) return undefined;
  const lines: Line[] = [];
  for (const line of yaml.split("\n")) {
    const [, indent = "", text = ""] = /^( *)(.*?) *$/.exec(line)!;
    if (text !== "" && !text.startsWith("#")) lines.push({ indent: indent.length, text });
  }
  if (lines.length === 0 || lines[0]!.indent !== 0) return undefined;
  const reader = { lines, at: 0 };
  const found = mapping(reader, 0, 1);
  return reader.at === lines.length ? found : undefined;
}

interface Line {
  readonly indent: number;
  readonly text: string;
}

interface Reader {
  readonly lines: Line[];
  at: number;
}

/** Signs that YAML takes for the end of a line or for nothing at all, tabs, and a second document. */
const strange = /[^\n\x20-\x7e\u00a0-\ud7ff\ue000-\ufffd]|[\u2028\u2029\ufeff\ufffd]|^(?:---|\.\.\.)/m;

/** Nobody nests deeper, and the other reader tells it. */
const deepest = 8;

function mapping(reader: Reader, indent: number, depth: number): object | undefined {
  const entries = new Map<string, unknown>();
  for (let line = reader.lines[reader.at]; line?.indent === indent; line = reader.lines[reader.at]) {
    const [whole, key = ""] = field.exec(line.text) ?? [];
    if (whole === undefined || entries.has(key)) return undefined;
    const rest = line.text.slice(whole.length);
    reader.at++;
    const value =
      rest === "" || rest.startsWith("#") ? below(reader, indent, depth + 1) : inline(bracketed(rest, reader, indent));
    if (value === undefined) return undefined;
    entries.set(key, value);
  }
  return isOver(reader, indent) && depth <= deepest ? Object.fromEntries(entries) : undefined;
}

/** The list or mapping in the lines below a field; a list may stand as far to the left as the field itself. */
function below(reader: Reader, indent: number, depth: number): unknown {
  const line = reader.lines[reader.at];
  if (!line) return undefined;
  if (line.text.startsWith("- ")) return line.indent >= indent ? list(reader, line.indent, depth) : undefined;
  if (line.indent <= indent) return undefined;
  if (!/^[[{]/.test(line.text)) return mapping(reader, line.indent, depth);
  reader.at++;
  const found = inline(bracketed(line.text, reader, indent));
  return isOver(reader, indent) ? found : undefined;
}

/** What begins with a bracket, with the lines up to the one that closes it, where they break beside commas and brackets. */
function bracketed(text: string, reader: Reader, indent: number): string {
  if (!/^[[{]/.test(text)) return text;
  let whole = text;
  for (let line = reader.lines[reader.at]; line && openIn(whole) > 0; line = reader.lines[reader.at]) {
    if (line.indent <= indent || (!/[,[{]$/.test(whole) && !/^[\]}]/.test(line.text))) break;
    whole += ` ${line.text}`;
    reader.at++;
  }
  return whole;
}

/** How many brackets are not closed yet. */
function openIn(text: string): number {
  let open = 0;
  for (const [sign] of text.matchAll(/"[^"]*"|'[^']*'|[[\]{}]/g))
    if (sign === "[" || sign === "{") open++;
    else if (sign === "]" || sign === "}") open--;
  return open;
}

function list(reader: Reader, indent: number, depth: number): object | undefined {
  const items: unknown[] = [];
  for (let line = reader.lines[reader.at]; line?.indent === indent; line = reader.lines[reader.at]) {
    const [lead] = /^- +/.exec(line.text) ?? [];
    if (lead === undefined) break;
    const text = line.text.slice(lead.length);
    const isMapping = field.test(text);
    // The first field of a mapping stands on the line of its hyphen.
    if (isMapping) reader.lines[reader.at] = { indent: indent + lead.length, text };
    else reader.at++;
    const item = isMapping ? mapping(reader, indent + lead.length, depth + 1) : inline(bracketed(text, reader, indent));
    if (item === undefined) return undefined;
    items.push(item);
  }
  return isOver(reader, indent) && depth <= deepest ? items : undefined;
}

/** Whether the next line belongs to what is around: further in, it would belong to a value that has ended. */
function isOver({ lines, at }: Reader, indent: number): boolean {
  return (lines[at]?.indent ?? 0) <= indent;
}

const field = /^(?!null:)([A-Za-z0-9](?:[\w./-]| +(?=[\w./]))*):(?: +|$)/;

/** A value on one line; what follows it may be a remark. */
function inline(text: string): unknown {
  if (text.startsWith("[") || text.startsWith("{")) {
    const scan = { text, at: 0 };
    const found = flow(scan, 1);
    return /^(?: +#.*)?$/.test(text.slice(scan.at)) ? found : undefined;
  }
  const [, double, single] = /^(?:"([^"\\]*)"|'([^']*)')(?: +#.*)?$/.exec(text) ?? [];
  const quoted = double ?? single;
  if (quoted !== undefined) return said(quoted);
  const [plain] = /^.*?(?= +#|$)/.exec(text)!;
  return startsPlain.test(plain) && !/:(?: |$)/.test(plain) ? said(plain) : undefined;
}

/** What a plain text may begin with: a hyphen only before a figure. */
const startsPlain = /^(?:[^\s\-?:,[\]{}#&*!|>'"%@`]|-[0-9.])/;

/** A text, unless it says that nothing is recorded. */
function said(text: string): string | undefined {
  return /^\s*(?:~|null)?\s*$/.test(text) ? undefined : text;
}

interface Scan {
  readonly text: string;
  at: number;
}

/** A list or mapping in brackets, from the bracket on. */
function flow(scan: Scan, depth: number): unknown {
  const opener = scan.text[scan.at++];
  const closer = opener === "{" ? /\}/y : /\]/y;
  const entries: [string, unknown][] = [];
  const names = new Set<string>();
  if (depth > 3) return undefined;
  take(scan, / */y);
  if (take(scan, closer) !== undefined) return opener === "{" ? {} : [];
  do {
    take(scan, / */y);
    const key = opener === "{" ? take(scan, /(?!null:)([A-Za-z0-9][\w./-]*): +/y) : String(entries.length);
    if (key === undefined || names.has(key)) return undefined;
    names.add(key);
    const value = /[[{]/y.test(scan.text[scan.at] ?? "") ? flow(scan, depth + 1) : said(take(scan, inFlow) ?? "");
    if (value === undefined) return undefined;
    entries.push([key, value]);
    take(scan, / */y);
  } while (take(scan, /,/y) !== undefined);
  if (take(scan, closer) === undefined) return undefined;
  return opener === "{" ? Object.fromEntries(entries) : entries.map(([, value]) => value);
}

/** A text within brackets: in quotes, or of signs that mean nothing there. */
const inFlow = /"([^"\\]*)"|'([^']*)'|((?:[^\s\-?:,[\]{}#&*!|>'"%@`]|-(?=[0-9.]))(?:[^:,[\]{}#]*[^:,[\]{}# ])?)/y;

/** What stands next in a text, if it is that: its first group that took part, or all of it. The text is then read up to its end. */
function take(scan: Scan, next: RegExp): string | undefined {
  next.lastIndex = scan.at;
  const found = next.exec(scan.text);
  if (!found) return undefined;
  scan.at = next.lastIndex;
  return found.slice(1).find((group) => group !== undefined) ?? found[0];
}
