import type { Slip } from "../records/messages.ts";

/** The words of a text for customers that promise more than anybody can show, with where each starts. */
export function claimsIn(text: string): readonly { readonly index: number; readonly slip: Slip }[] {
  return claims.flatMap(({ words, instead }) =>
    [...text.matchAll(words)].map(({ index, 0: written }) => ({
      index,
      slip: { rule: "claim-made", written, expected: instead, note },
    })),
  );
}

const note =
  "What customers read must be something that you can show. Advertising, food and plant-health law may say more; your local office knows.";

const claims: readonly { readonly words: RegExp; readonly instead: string }[] = [
  { words: /\bguarantee(?:s|d)?\b/gi, instead: "what you do, and what may still go wrong" },
  {
    words: /\b(?:chemical|pesticide|spray|toxin|disease|virus|germ|risk|allergen)[- ]free\b/gi,
    instead: "what was done: what was used and when, or that nothing was",
  },
  { words: /\b100 ?(?:%|per ?cent) ?(?:natural|organic|safe|pure)\b/gi, instead: "how it was grown" },
  {
    words: /\borganic(?:ally)? (?:grown|produce|herbs?|plants?|plugs?|salads?|leaves|vegetables?)\b/gi,
    instead: "how it was grown: `organic` is a word of law in most places",
  },
  { words: /\b(?:optimal(?:ly)?|optimum|perfect(?:ly)?)\b/gi, instead: "what it is, in figures that have a source" },
  {
    words: /\b(?:cures?|heals?|detox\w*|superfoods?|boosts? (?:your |the )?immun\w+|immune[- ]boosting|medicinal)\b/gi,
    instead: "how it tastes and how it is used: a claim about health needs a licence to make it",
  },
  { words: /\b(?:never fails?|always works|foolproof|miracle)\b/gi, instead: "how often it worked, of how many" },
  {
    words: /\b(?:eco-friendly|carbon[- ]neutral|zero[- ](?:waste|carbon|impact)|climate[- ]friendly)\b/gi,
    instead: "what is saved, how much, and how it was measured",
  },
];
