import { mod37_36 } from "cdigit";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { bodyOf, checkCharacter, isAmbiguous, trayCode } from "../../generator/science/labels.ts";

const alphabet = [..."0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"];
const letter = fc.constantFrom(...alphabet);
const codes = fc.array(letter, { minLength: 1, maxLength: 30 }).map((characters) => characters.join(""));

describe("checkCharacter", () => {
  it("is that of the standard's own example, A12425GABC1234002 with M (as quoted for ISO/IEC 7064 MOD 37,36; from memory)", () => {
    expect(checkCharacter("A12425GABC1234002")).toBe("M");
  });

  it("agrees with another implementation", () => {
    fc.assert(
      fc.property(codes, (code) => {
        expect(checkCharacter(code)).toBe(mod37_36.compute(code));
        expect(mod37_36.validate(code + checkCharacter(code))).toBe(true);
      }),
      { numRuns: 2000 },
    );
  });

  it("catches every single wrong character", () => {
    fc.assert(
      fc.property(codes, fc.nat(), letter, (code, place, wrong) => {
        const at = place % code.length;
        fc.pre(code[at] !== wrong);
        const misread = code.slice(0, at) + wrong + code.slice(at + 1);
        expect(checkCharacter(misread)).not.toBe(checkCharacter(code));
      }),
    );
  });

  it("catches two neighbours that are swapped, save for the few that a hybrid system lets by", () => {
    let missed = 0;
    let swapped = 0;
    for (const first of alphabet) {
      for (const second of alphabet) {
        if (first === second) continue;
        swapped++;
        if (checkCharacter(`LET${first}${second}7`) === checkCharacter(`LET${second}${first}7`)) missed++;
      }
    }
    expect(missed / swapped).toBeLessThan(0.01);
  });

  it("rejects the swapped and the misread date of one tray", () => {
    expect(checkCharacter(bodyOf("LET02-28017-07"))).toBe("U");
    expect(checkCharacter(bodyOf("LET02-28071-07"))).not.toBe("U");
    expect(checkCharacter(bodyOf("LET02-28013-07"))).not.toBe("U");
  });

  it("refuses what is not capitals and digits", () => {
    for (const code of ["", "let02", "LET 02", "LÉT02"]) expect(() => checkCharacter(code)).toThrow(RangeError);
  });
});

describe("bodyOf", () => {
  it("is the same however a code is spaced, dashed or written", () => {
    for (const written of ["LET02-28017-07", "let02 28017 07", "LET02–28017–07", "let02_28017.07", "LET02/28017/07"]) {
      expect(bodyOf(written)).toBe("LET022801707");
    }
  });

  it("makes no capitals of other letters, so that ß is not SS", () => expect(bodyOf("aßı")).toBe("Aßı"));
});

describe("trayCode", () => {
  it("is crop, year and day of the year, and tray", () => {
    expect(trayCode({ crop: "let02", sown: "2028-01-17", tray: 7 })).toBe("LET02-28017-07");
    expect(trayCode({ crop: "BAS01", sown: "2028-12-31", tray: 99 })).toBe("BAS01-28366-99");
    expect(trayCode({ crop: "X", sown: "2100-03-01", tray: 0 })).toBe("X-00060-00");
  });
});

describe("isAmbiguous", () => {
  it("is true of the four letters that look like digits", () => {
    expect(alphabet.filter(isAmbiguous)).toEqual(["I", "O", "S", "Z"]);
  });
});
