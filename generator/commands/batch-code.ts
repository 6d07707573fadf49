import { list } from "../format.ts";
import type { Library, PageOf } from "../library.ts";
import { editDistance, nearest } from "../records/nearest.ts";
import { bodyOf, checkCharacter } from "../science/labels.ts";
import { batchCodes } from "../supply/sowing.ts";
import { Misuse } from "./command.ts";

/**
 * The batch whose tray has the code that was typed; any tray of a batch will do. Capitals, spaces and dashes do not matter.
 * @throws Misuse when the check character does not fit, with the codes that are one sign away; or when no batch has the code.
 */
export function codeTyped(library: Library, typed: string): PageOf<"batches"> {
  const body = bodyOf(typed);
  const odd = /[^0-9A-Z]/u.exec(body)?.[0];
  if (odd !== undefined || body.length < 2)
    throw new Misuse(
      `Unexpected ${odd === undefined ? typed || "blank" : `“${odd}” in ${typed}`}, expected the code on the tray, such as BAS-27081-01-K`,
    );
  const codes = new Map(
    [...library.batches.values()].flatMap((batch) =>
      batchCodes(library, batch).map((code) => [bodyOf(code), { code, batch }] as const),
    ),
  );
  const found = codes.get(body);
  if (found) return found.batch;
  if (checkCharacter(body.slice(0, -1)) !== body.at(-1)) {
    const near = oneAway(body, codes.keys()).map((other) => codes.get(other)!.code);
    throw new Misuse(
      `The check character of ${typed} does not fit: a sign is missing or misread${near.length > 0 ? `. Did you mean ${list(near.slice(0, 3), "or")}? Look again at the tray` : ". Look again at the tray"}`,
    );
  }
  const near = nearest(body, codes.keys());
  throw new Misuse(
    `There is no batch ${typed}${near ? `; the nearest is ${codes.get(near)!.code}. Look again at the tray` : ""}`,
  );
}

/** The codes that differ by signs that look alike, or else by one sign that is wrong, missing, too many or swapped. */
function oneAway(body: string, codes: Iterable<string>): readonly string[] {
  const all = [...codes];
  const alike = all.filter((code) => looks(code) === looks(body));
  return alike.length > 0 ? alike : all.filter((code) => editDistance(body, code) === 1);
}

/** A code with signs that are misread for one another as one of them. */
function looks(code: string): string {
  return code.replace(/[A-Z]/g, (letter) => alikes[letter] ?? letter);
}

const alikes: Readonly<Record<string, string>> = {
  B: "8",
  D: "0",
  G: "6",
  I: "1",
  L: "1",
  O: "0",
  Q: "0",
  S: "5",
  Z: "2",
};
