import type { Library, PageOf } from "../library.ts";
import { type Amount, readAmount } from "../plan/demands.ts";
import type { Promised } from "../plan/yard.ts";
import { nearest } from "../records/nearest.ts";

/** What was typed, read; or a sentence without a full stop that says what was written and what to write. */
export type Heard<Value> = { readonly value: Value } | { readonly fault: string };

/**
 * Reads an amount as people type it, `2400g/week`, `40 bunches a week`, `1.5 kg`. It asks and never guesses: a decimal comma,
 * a missing unit, or an amount a day is a fault.
 */
export function askAmount(written: string): Heard<Amount & { readonly written: string }> {
  const text = written.normalize("NFKC").replace(/\s+/g, " ").trim();
  const fault = amountFault(text);
  if (fault !== undefined) return { fault };
  const amount = readAmount(text)!;
  const most = amount.unit === "g" ? 1_000_000 : 100_000;
  if (amount.number > most)
    return {
      fault: `Unexpected ${text}, expected at most ${amount.unit === "g" ? "1000 kg" : `${most} ${amount.unit}`}`,
    };
  return { value: { ...amount, written: text.replace(/^([\d.]+)(?=[a-z])/i, "$1 ") } };
}

/** The crop that was meant: by its id, its name, or what people call it. Of several that it could be none is guessed. */
export function askCrop(library: Pick<Library, "crops">, written: string): Heard<PageOf<"crops">> {
  const wanted = folded(written);
  const crops = [...library.crops.values()];
  const called = ({ id, fields }: PageOf<"crops">) =>
    [id, fields.name, ...(fields.also ?? []), ...(fields.search ?? [])].map(folded);
  const byId = library.crops.get(written.trim());
  if (byId) return { value: byId };
  const exact = crops.filter(({ fields }) => folded(fields.name) === wanted);
  const everyday = exact.length > 0 ? exact : crops.filter((crop) => called(crop).includes(wanted));
  const asked = wanted.split(" ");
  const partly =
    everyday.length > 0 || wanted === ""
      ? everyday
      : crops.filter(({ id, fields }) => {
          const words = new Set(`${folded(fields.name)} ${folded(id)}`.split(" "));
          return asked.every((word) => words.has(word));
        });
  const [only] = partly;
  if (only && partly.length === 1) return { value: only };
  if (partly.length > 1) {
    const names = partly.map(({ id, fields }) => `${fields.name} (${id})`);
    return {
      fault: `${written.trim()} may be ${names.slice(0, -1).join(", ")} or ${names.at(-1)}; say which by its id`,
    };
  }
  const near = nearest(wanted, new Set(crops.flatMap(called)));
  const meant = near === undefined ? undefined : crops.find((crop) => called(crop).includes(near));
  return {
    fault: `There is no crop ${written.trim() || "without a name"}${meant ? `; did you mean ${meant.fields.name} (${meant.id})?` : ""}`,
  };
}

/** The kind of order that an amount speaks of, or why it cannot be the kind that was named. */
export function askKind(
  { unit, written }: Amount & { readonly written: string },
  named: string | undefined,
): Heard<Promised["kind"]> {
  const usual = unit === "bunches" ? "bunch" : unit === "pots" ? "pot" : unit === "plugs" ? "plug" : "cut";
  if (named === undefined) return { value: usual };
  const units = (kinds as Readonly<Record<string, readonly Amount["unit"][]>>)[named];
  if (!units) {
    const near = nearest(named, Object.keys(kinds));
    return {
      fault: `Unexpected kind ${named}, expected cut, bunch, pot or plug${near ? `; did you mean ${near}?` : ""}`,
    };
  }
  if (units.includes(unit)) return { value: named as keyof typeof kinds };
  return {
    fault: `Unexpected ${written} for kind ${named}, expected ${units.map((one) => examples[one]).join(" or ")}`,
  };
}

const kinds = {
  cut: ["g", "pieces", "plants"],
  bunch: ["bunches"],
  pot: ["pots", "g"],
  plug: ["plugs"],
} as const satisfies Partial<Record<Promised["kind"], readonly Amount["unit"][]>>;

const examples: Readonly<Record<Amount["unit"], string>> = {
  g: "2400 g/week",
  bunches: "40 bunches/week",
  pots: "60 pots",
  plugs: "120 plugs",
  plants: "30 heads",
  pieces: "150 flowers/week",
};

const example = "2400 g/week, 40 bunches/week, 120 plugs or 1.5 kg";

function amountFault(text: string): string | undefined {
  if (text === "") return `There is no amount; write one such as ${example}`;
  if (/\d,\d/.test(text)) {
    const point = text.replace(/(\d),(?=\d)/g, "$1.");
    const none = text.replace(/(\d),(?=\d)/g, "$1");
    const either = /\d,\d{3}(?!\d)/.test(text)
      ? `${point} or ${none}, whichever is meant`
      : `${point} if that is meant`;
    return `Unexpected ${text}, expected a decimal point: write ${either}`;
  }
  if (/\d \d/.test(text))
    return `Unexpected ${text}, expected a number without a gap: write ${text.replace(/(\d) (?=\d)/g, "$1")}`;
  const other =
    /^([\d.]+) ?([a-z]+) ?(?:(?:\/|a|per|each|every) ?)?(daily|day|month|monthly|year|yearly|fortnight|fortnightly)$/i.exec(
      text,
    );
  if (other) {
    const [, number = "", unit = "", time = ""] = other;
    if (!/^da/i.test(time)) return `Unexpected ${text}, expected an amount a week, such as 2400 g/week`;
    const week = Number((Number(number) * 7).toPrecision(12));
    return `Unexpected ${text}, expected an amount a week: write ${week} ${unit}/week if it is wanted on all seven days`;
  }
  if (/^[\d.]+(?: ?(?:\/|a|per) ?week)?$/i.test(text))
    return `Unexpected ${text} without a unit: write it beside the number, such as ${example}`;
  const amount = readAmount(text);
  if (!amount) {
    const unit = /^[\d.]+ ?([a-z]+)/i.exec(text)?.[1];
    const near = unit === undefined ? undefined : nearest(unit, unitWords);
    return `Unexpected ${text}, expected an amount such as ${example}${near && near !== unit ? `; did you mean ${near}?` : ""}`;
  }
  if (amount.number === 0) return `Unexpected ${text}, expected more than nothing`;
  if (amount.unit !== "g" && !Number.isInteger(amount.number))
    return `Unexpected ${text}, expected a whole number of ${amount.unit === "pieces" ? "flowers or fruits" : amount.unit}`;
  return undefined;
}

const unitWords = ["g", "kg", "bunch", "bunches", "pots", "plugs", "plants", "heads", "flowers", "fruits"];

/** Letters alone, small and without accents, so that `Pak-Choï` is `pak choi`. */
function folded(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, " ")
    .trim();
}
