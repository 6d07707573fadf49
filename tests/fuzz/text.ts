import fc from "fast-check";

/** Signs and pieces of text that programs stumble over: controls, joins, other scripts, halves of letters, markup, names of objects. */
export const pieces = [
  ..."\t\n\r\0\u0007\u001b\u007f\u0085\u009b\u00a0\u00ad\u200b\u200d\u200e\u202e\u2028\u2029\u2066\ufeff\ufffd\ufffe",
  ..."'\"`{}[]()<>&*!|>%@#-?:,.;=+~^$\\/_",
  "\ud800",
  "\udfff",
  "e\u0301",
  "é",
  "ß",
  "İ",
  "ﬁ",
  "日本",
  "базилик",
  "ריחן",
  "ريحان",
  "👩‍🌾",
  "\u001b[31m",
  "\u001b]0;title\u0007",
  "---",
  "...",
  "- ",
  ": ",
  " #",
  "&a ",
  "*a",
  "!!float ",
  "<<: *a",
  "|\n",
  ">-\n",
  "\r\n",
  "  ",
  "__proto__",
  "constructor",
  "toString",
  "hasOwnProperty",
  "length",
  "null",
  "true",
  "0",
  "-0",
  "1e400",
  "0x1f",
  "1,5",
  "½",
  "１２",
  "9".repeat(40),
  "../",
  "%s%n",
  `\${x}`,
  "{{x}}",
  "<script>alert(1)</script>",
  "<!--",
  "]]>",
  "[a](javascript:alert(1))",
  "=1+1",
] as const;

/** Short text of any kind. */
export const anyText: fc.Arbitrary<string> = fc.oneof(
  { weight: 4, arbitrary: fc.array(fc.constantFrom(...pieces), { maxLength: 6 }).map((all) => all.join("")) },
  { weight: 2, arbitrary: fc.string({ unit: "binary", maxLength: 20 }) },
  { weight: 1, arbitrary: fc.string({ unit: "grapheme", maxLength: 40 }) },
  { weight: 1, arbitrary: fc.stringMatching(/^[a-z0-9 .-]{0,20}$/) },
);

/** A change to a text: where it is, between 0 and 1, and what is done there. */
export type Change = readonly [at: number, deed: (typeof deeds)[number], piece: string, other: number];

const deeds = [
  "put",
  "cut",
  "line out",
  "line twice",
  "lines swapped",
  "indent",
  "figure",
  "value",
  "key",
  "end",
] as const;

/** A few changes, as one makes them by mistake or on purpose. */
export const changes: fc.Arbitrary<readonly Change[]> = fc.array(
  fc.tuple(
    fc.double({ min: 0, max: 1, noNaN: true }),
    fc.constantFrom(...deeds),
    fc.oneof({ weight: 3, arbitrary: fc.constantFrom(...pieces) }, { weight: 1, arbitrary: anyText }),
    fc.double({ min: 0, max: 1, noNaN: true }),
  ),
  { minLength: 1, maxLength: 6 },
);

/** A text with changes made to it, one after the other. */
export function changed(text: string, all: readonly Change[]): string {
  return all.reduce((now, [at, deed, piece, other]) => {
    const spot = Math.floor(at * now.length);
    const lines = now.split("\n");
    const [one, two] = [at, other].map((where) => Math.min(lines.length - 1, Math.floor(where * lines.length))) as [
      number,
      number,
    ];
    const line = lines[one] ?? "";
    const put = (...instead: readonly string[]) => lines.toSpliced(one, 1, ...instead).join("\n");
    switch (deed) {
      case "put":
        return now.slice(0, spot) + piece + now.slice(spot);
      case "cut":
        return now.slice(0, spot) + now.slice(spot + Math.floor(other * 40));
      case "line out":
        return put();
      case "line twice":
        return put(line, line);
      case "lines swapped":
        return lines
          .with(one, lines[two] ?? "")
          .with(two, line)
          .join("\n");
      case "indent":
        return put(other < 0.5 ? ` ${line}` : line.replace(/^ {1,2}/, other > 0.8 ? "\t" : ""));
      case "figure":
        return put(line.replace(/\d+(?:\.\d+)?/, piece));
      case "value":
        return put(line.replace(/: .*$/, `: ${piece}`));
      case "key":
        return put(line.replace(/[a-z]+:/, `${piece}:`));
      default:
        return now.replaceAll("\n", other < 0.5 ? "\r\n" : other < 0.8 ? "\r" : "\u2028");
    }
  }, text);
}
