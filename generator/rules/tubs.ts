import type { Salt } from "../records/feed.ts";
import type { Readable } from "../records/fields.ts";
import type { Drafts } from "./drafts.ts";

const letters = ["A", "B", "C"] as const;

/** Asks that no tub of stock holds calcium beside phosphate or sulphate, and that every tub has a head that draws from it. */
export function checkTubs({ records }: Drafts): void {
  for (const { fields, say } of records.feeds.values()) {
    const salts = (fields.salts ?? []).flatMap((id, index) => {
      const salt = id === undefined ? undefined : records.salts.get(id)?.fields;
      return id !== undefined && salt?.tub ? [{ id, index, salt, tub: salt.tub }] : [];
    });
    const heads = fields.stock?.heads;
    for (const { id, index, tub } of salts) {
      if (heads === undefined || letters.indexOf(tub) < heads) continue;
      say(["salts", index], {
        rule: "tub-headless",
        written: id,
        expected: heads === 1 ? "a salt for tub `A`" : `a salt for tub ${letters.slice(0, heads).join(" or ")}`,
        note: `\`salts/${id}.md\` belongs in tub ${tub}, and this feed has ${heads === 1 ? "one head" : `${heads} heads`}.`,
      });
    }
    for (const tub of letters) {
      const inside = salts.filter((salt) => salt.tub === tub);
      const calcium = inside.find(({ salt }) => holds(salt, ["Ca", "CaO"]));
      if (!calcium) continue;
      for (const { id, index, salt } of inside) {
        if (id === calcium.id) continue;
        const clash = holds(salt, ["P", "P2O5"]) ? "phosphate" : holds(salt, ["S", "SO3"]) ? "sulphate" : undefined;
        if (!clash) continue;
        say(["salts", index], {
          rule: "tub-clash",
          written: id,
          expected: `no ${clash} beside calcium in tub ${tub}`,
          note: `\`${calcium.id}\` brings calcium, \`${id}\` brings ${clash}: in a strong stock they fall out as a white mud that blocks the line. Put them in two tubs.`,
        });
      }
    }
  }
}

type Element = keyof Salt["analysis"];

function holds({ analysis }: Readable<Salt>, elements: readonly Element[]): boolean {
  return elements.some((element) => (analysis?.[element] ?? 0) > 0);
}
