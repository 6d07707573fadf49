import { changedRows } from "./changes.ts";
import type { Kept } from "./kept.ts";
import { fileName } from "./kind.ts";
import { button, made } from "./made.ts";
import { original } from "./original.ts";
import { editWords } from "./words.ts";

/** What will change, a table for each place: every line with its number, and whether it goes out, comes in or stays. */
export function changeTables(was: string, now: string): readonly HTMLElement[] {
  const { change, changeSign, changesNone } = editWords;
  const tables = changedRows(was, now).map((group) => {
    const rows = group.map(({ kind, line, text }) => {
      const sign = made("td", { class: "sign" }, made("span", { "aria-hidden": "true" }, changeSign[kind]));
      sign.append(made("span", { class: "unseen" }, change[kind]));
      return made(
        "tr",
        { class: kind },
        made("td", { class: "n" }, String(line)),
        sign,
        made("td", { class: "line" }, text),
      );
    });
    return made("table", { class: "changed" }, made("tbody", {}, ...rows));
  });
  return tables.length > 0 ? tables : [made("p", {}, changesNone)];
}

/** A record that was changed here and never saved: it can be taken up again, or thrown away at the second press. */
export function offerItem(kept: Kept, take: () => void, throwAway: () => void): HTMLElement {
  const { unsaved } = editWords;
  const differing = changedRows(original(kept.was).text, kept.now)
    .flat()
    .filter(({ kind }) => kind !== "same");
  const how = kept.handed ? unsaved.handed : unsaved.lines(differing.length);
  const drop = button(unsaved.drop, () => {
    if (drop.textContent === unsaved.really) throwAway();
    else drop.textContent = unsaved.really;
  });
  return made(
    "li",
    {},
    made("p", {}, made("b", {}, fileName(kept)), `, ${how}`),
    made("p", { class: "ways" }, button(unsaved.take, take), drop),
  );
}
