import type { Kind } from "../records/index.ts";
import { nearest } from "../records/nearest.ts";
import { leaves } from "../records/walk.ts";
import { bodyOf } from "../science/labels.ts";
import { type Draft, type Drafts, isOpen, type Known } from "./drafts.ts";

/** Asks that every field that names another record names one that is there, of the right kind, and open to the same readers. */
export function checkReferences(draft: Draft, { records }: Drafts, known: Known): void {
  for (const { path, value, meta, reader } of leaves(draft.schema, draft.raw)) {
    if (!meta.refers || typeof value !== "string") continue;
    const kind = meta.refers as Kind;
    const name = value.trim();
    if (!known[kind].has(name)) {
      const near = nearest(name, known[kind]);
      draft.say(path, {
        rule: "reference-missing",
        written: name,
        expected: `a file of \`${kind}/\``,
        note: near ? `Did you mean \`${near}\`?` : `Write \`${kind}/${name}.md\`, or correct the name.`,
      });
      continue;
    }
    const target = records[kind].get(name);
    if (!target) continue;
    const found = (target.fields as { readonly kind?: string }).kind;
    if (meta.refersTo && found && found !== meta.refersTo)
      draft.say(path, {
        rule: "reference-kind",
        written: name,
        expected: `gear of the kind \`${meta.refersTo}\``,
        note: `\`gear/${name}.md\` says that it is a ${found}.`,
      });
    if (isOpen(draft) && reader === "everyone" && !isOpen({ kind, fields: target.fields }))
      draft.say(path, {
        rule: "audience-leak",
        written: name,
        expected: "a record that customers may read",
        note: `\`${kind}/${name}.md\` is for staff. Leave it out here, or set its \`audience: everyone\`.`,
      });
  }
}

/** Asks that no two records of a kind go by the same name or code. */
export function checkNames({ records }: Drafts): void {
  for (const [kind, nameOf] of Object.entries(named) as [Kind, (fields: Fields) => readonly Name[]][]) {
    const seen = new Map<string, string>();
    for (const { id, fields, say } of records[kind].values()) {
      for (const { path, name, rule } of nameOf(fields as Fields)) {
        if (typeof name !== "string" || name === "") continue;
        const key = `${rule} ${rule === "code-twice" ? bodyOf(name) : name.toLowerCase()}`;
        const first = seen.get(key);
        if (first !== undefined && first !== id)
          say(path, {
            rule,
            written: name,
            expected: rule === "code-twice" ? "a code of its own" : "a name of its own",
            note: `\`${kind}/${first}.md\` has the same: nobody could tell them apart.`,
          });
        else seen.set(key, id);
      }
    }
  }
}

type Fields = Readonly<Record<string, unknown>>;

interface Name {
  readonly path: readonly (string | number)[];
  readonly name: unknown;
  readonly rule: "name-twice" | "code-twice";
}

const one =
  (field: string, rule: Name["rule"] = "name-twice") =>
  (fields: Fields): readonly Name[] => [{ path: [field], name: fields[field], rule }];

/** What each kind of record is called by. A feed may keep its name from version to version. */
const named: Readonly<Partial<Record<Kind, (fields: Fields) => readonly Name[]>>> = {
  crops: (fields) => [...one("name")(fields), ...one("code", "code-twice")(fields)],
  feeds: ({ name, version }) => [
    { path: ["name"], name: name && version && `${name}, version ${version}`, rule: "name-twice" },
  ],
  salts: one("name"),
  waters: one("name"),
  gear: one("name"),
  batches: one("code", "code-twice"),
  guides: one("title"),
  glossary: ({ term, also }) => [
    { path: ["term"], name: term, rule: "name-twice" },
    ...(Array.isArray(also) ? also : []).map(
      (name, index): Name => ({ path: ["also", index], name, rule: "name-twice" }),
    ),
  ],
};
