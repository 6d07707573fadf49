import { dayOfYear, type PlainDate, yearOf } from "./calendar.ts";

/**
 * The check character of a code in capitals and digits.
 * @throws RangeError when the code is empty or has another character.
 * @see ISO/IEC 7064:2003, hybrid system MOD 37,36
 */
export function checkCharacter(body: string): string {
  if (!/^[0-9A-Z]+$/.test(body)) throw new RangeError(`Unexpected “${body}”, expected capitals A to Z and digits`);
  let product = 36;
  for (const character of body) {
    const sum = (product + characters.indexOf(character)) % 36 || 36;
    product = (sum * 2) % 37;
  }
  return characters[(37 - product) % 36]!;
}

/** A code as it is reckoned with: capitals, without spaces, dashes, underscores, points and strokes. */
export function bodyOf(code: string): string {
  return code.replace(/[\s\-–_./]/g, "").replace(/[a-z]/g, (letter) => letter.toUpperCase());
}

/** A tray's code without its check character, `LET02-28017-07`: crop, year and day of the year, tray 0 to 99. */
export function trayCode({ crop, sown, tray }: { crop: string; sown: PlainDate; tray: number }): string {
  const year = String(yearOf(sown) % 100).padStart(2, "0");
  const day = String(dayOfYear(sown)).padStart(3, "0");
  return `${bodyOf(crop)}-${year}${day}-${String(tray).padStart(2, "0")}`;
}

/** Whether a check character is easily misread by hand: I and 1, O and 0, S and 5, Z and 2. */
export function isAmbiguous(character: string): boolean {
  return "IOSZ".includes(character);
}

const characters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
