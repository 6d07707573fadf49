import { cp, mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const demo = fileURLToPath(new URL("../../content", import.meta.url));

/**
 * A book of so many crops in `folder`: the demo book with its crops again and again under other names and codes, each with a
 * paragraph of words of its own, so that no two pages are alike. The same number gives the same bytes.
 */
export async function corpus(crops: number, folder: string): Promise<string> {
  await mkdir(folder, { recursive: true });
  await cp(demo, folder, { recursive: true });
  const own = (await readdir(join(demo, "crops"))).sort();
  const texts = await Promise.all(own.map((name) => readFile(join(demo, "crops", name), "utf8")));
  const codes = new Set(texts.map((text) => /^code: (\S+)/m.exec(text)?.[1]));
  let next = 0;
  const code = (): string => {
    for (;;) {
      const letters = [next / 676, next / 26, next]
        .map((at) => String.fromCharCode(65 + (Math.floor(at) % 26)))
        .join("");
      const made = next < 17_576 ? letters : `${letters}${Math.floor(next / 17_576)}`;
      next++;
      if (!codes.has(made)) return made;
    }
  };
  const wanted = Array.from({ length: Math.max(0, crops - own.length) }, (_, index) => index);
  await Promise.all(
    wanted.map((index) => {
      const like = index % own.length;
      const text = made(texts[like]!, index, code());
      return writeFile(join(folder, "crops", `made-${String(index).padStart(5, "0")}.md`), text);
    }),
  );
  return folder;
}

/** A crop like another, under a name and a code of its own. */
function made(text: string, index: number, code: string): string {
  const words = wordsFrom(index);
  return text
    .replace(/^name: .*$/m, (line) => `${line.replace(/"$/, "")} ${words(1)} ${index}${line.endsWith('"') ? '"' : ""}`)
    .replace(/^code: .*$/m, `code: ${code}`)
    .replace(/^(also|search|replaces):(.*(?:\n[ \t]+.*)*)\n/gm, "")
    .replace(/\n---\n/, (end) => `${end}\n${words(12)}.\n`);
}

/** Words of a language that is none, drawn from a number. */
function wordsFrom(seed: number): (count: number) => string {
  let state = (seed + 1) * 2_654_435_761;
  const draw = (below: number): number => {
    state = (Math.imul(state ^ (state >>> 15), 2_246_822_507) + 0x9e37) >>> 0;
    return state % below;
  };
  const syllables = [
    "ba",
    "do",
    "fel",
    "gri",
    "hu",
    "kam",
    "lo",
    "mir",
    "ne",
    "pol",
    "qui",
    "ras",
    "su",
    "tev",
    "vo",
    "zan",
  ];
  const word = () => Array.from({ length: 2 + draw(2) }, () => syllables[draw(syllables.length)]).join("");
  return (count) => Array.from({ length: count }, word).join(" ");
}
