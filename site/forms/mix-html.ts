import { quantity } from "../../generator/format.ts";
import { acidDose } from "../../generator/worksheets/acid.ts";
import { feedRecipe } from "../../generator/worksheets/feed.ts";
import { traceWeights } from "../../generator/worksheets/traces.ts";
import type { Caution } from "../../generator/worksheets/worksheet.ts";
import { paperWords } from "../paper/words.ts";
import { esc, refusalHtml, tubSign } from "./answer.ts";
import { acidTub, type Mix, type TubMix, type Weighing } from "./mix.ts";
import { innerUnits } from "./units.ts";

const { mix: words } = paperWords;

/** The paper of a feed as HTML, a page for each tub, or one page that says why there is nothing to weigh. */
export function mixHtml(mix: Mix): string {
  if (mix.recipe.refusal) return refusedPage(mix);
  const acid = mix.acidMeq > 0 ? (acidTub(mix) ?? mix.tubs.at(-1)?.letter) : undefined;
  return mix.tubs.map((tub) => tubPage(mix, tub, tub.letter === acid)).join("");
}

function refusedPage(mix: Mix): string {
  const names = Object.fromEntries(Object.entries(mix.feed.bags).map(([id, { name }]) => [id, name]));
  return `<section class="tub-page"><h1>${esc(mix.feed.name)}</h1><div class="no"><p>${esc(words.refused)}</p></div>
<p class="lead">${esc(words.refusedSays)}</p>${refusalHtml(feedRecipe, mix.recipe, { units: innerUnits, names })}
${facts(headOf(mix).slice(0, 2))}${foot(mix, mix.feed.id)}</section>`;
}

function tubPage(mix: Mix, { letter, salts, traces }: TubMix, withAcid: boolean): string {
  const { feed, stock } = mix;
  const litres = quantity(stock.tankLitres, "L");
  const ratio = quantity(stock.ratioPercent, "%");
  const cautions = [...feedRecipe.cautions.slice(0, 2), ...(traces.length > 0 ? traceWeights.cautions : [])];
  const tick = '<span class="ticks"><i></i></span>';
  const ticks = `<span class="ticks">${[words.weighed, words.dissolved, words.clear].map((word) => `<label><i></i>${esc(word)}</label>`).join("")}</span>`;
  const salt = ({ name, weigh, carrier, hazard }: Weighing) =>
    `<span class="what"><b>${esc(name)}</b>${hazard ? `<small>${esc(hazard)}</small>` : ""}${carrier ? `<small class="carrier">${esc(words.carrier(carrier))}</small>` : ""}</span><span class="grams">${esc(weigh ?? words.carried)}</span>${ticks}`;
  const plain = (text: string) => `<span>${esc(text)}</span>${tick}`;
  const steps = [
    ["step", plain(words.half(quantity(stock.tankLitres / 2, "L")))],
    ...[...salts, ...traces].map((one) => ["step salt", salt(one)]),
    ["step", plain(words.top(litres))],
    ["step", plain(words.stir)],
    ["step", plain(words.lid)],
  ].map(([name, text], index) => `<li class="${name}"><span class="n">${index + 1}</span>${text}</li>`);
  const blank = (label: string, name = "") => `<div${name && ` class="${name}"`}><dt>${label}</dt> <dd></dd></div>`;
  return `<section class="tub-page" data-tub="${esc(letter)}"><header class="tub-head">${tubSign(letter)}<h1>${esc(words.title(feed.name, letter))}</h1>${tubSign(letter)}</header>
${mix.changed.length > 0 ? `<p class="anew"><b>${esc(words.anew(feed.version))}</b> ${esc(mix.changed.join("; "))}.</p>` : ""}${facts(headOf(mix))}
${stopBox(cautions, words.stop)}
<ol class="steps">${steps.join("")}</ol>
${withAcid ? acidHtml(mix) : ""}
<dl class="blanks">${blank(esc(words.second), "wide")}${blank(esc(paperWords.initials))}${blank(esc(paperWords.date))}</dl>
<section class="check"><h2>${esc(words.catchTest)}</h2>
<dl class="blanks">${blank(esc(words.drawn))}${blank(esc(words.metered))}${blank(esc(words.should(ratio)))}${expectedBlank(mix)}</dl>
<p><b>${esc(words.outside)}</b></p></section>
${foot(mix, `${feed.id} ${letter}`, true)}</section>`;
}

/** How much acid stays hidden until a trained person has ticked the stop box; the amount is never printed unasked. */
function acidHtml(mix: Mix): string {
  const { acid } = words;
  const letter = acidTub(mix);
  const field = (name: string, label: string) =>
    `<p class="field"><label for="acid-${name}">${esc(label)}</label> <input id="acid-${name}" data-acid="${name}" type="text" inputmode="decimal" autocomplete="off" /></p>`;
  return `<section class="acid" data-acid-part>
<h2>${esc(acid.title)}</h2><p>${esc(acid.counts(quantity(mix.acidMeq, "meq/L", 3)))} ${esc(letter ? acid.where(letter) : acid.nowhere)}</p>
${stopBox(acidDose.cautions, words.stop)}
<div class="screen-only"><p class="tick"><label><input type="checkbox" data-acid="trained" /> <span>${esc(acid.trained)}</span></label></p>
${field("strength", acid.strength)}${field("density", acid.density)}</div>
<p class="amount" role="status" data-acid-says>${esc(acid.hidden)}</p></section>`;
}

function headOf(mix: Mix): readonly (readonly [string, string])[] {
  const { feed, stock } = mix;
  return [
    [words.recipe, words.version(feed.id, feed.version)],
    [
      words.water,
      mix.changed.some((said) => said.startsWith(`${words.changed.groups.water}:`)) ? words.changedWater : feed.water,
    ],
    [words.litres, quantity(stock.tankLitres, "L")],
    [words.ratio, `${quantity(stock.ratioPercent, "%")}, ${words.means[stock.ratioMeans]}`],
    [words.coldest, quantity(stock.coldestTempC, "°C")],
    [
      words.scale,
      stock.scaleDivisionGrams === undefined ? paperWords.unknown : quantity(stock.scaleDivisionGrams, "g"),
    ],
  ];
}

function expectedBlank({ recipe: { answer }, feed }: Mix): string {
  const [middle, low, high] = [answer.ecExpected, answer.ecExpectedLow, answer.ecExpectedHigh].map((value) =>
    typeof value === "number" ? quantity(value, "mS/cm", 3) : undefined,
  );
  if (!middle || !low || !high) return "";
  return `<div class="wide"><dt><b>${esc(words.line)}</b> ${esc(words.expected(middle, low, high))}<sup class="basis"><span class="unseen">${esc(feed.basis.word)}</span><span aria-hidden="true">${esc(feed.basis.letter)}</span></sup></dt> <dd></dd></div>`;
}

function facts(rows: readonly (readonly [string, string])[]): string {
  return `<dl class="facts">${rows.map(([label, text]) => `<div><dt>${esc(label)}</dt> <dd>${esc(text)}</dd></div>`).join("")}</dl>`;
}

function stopBox(cautions: readonly Caution[], title: string): string {
  const items = cautions.map(({ text, defer }) => `<li>${esc(text)} <em>${esc(defer)}</em></li>`);
  return `<div class="stop" role="note" aria-label="${esc(title)}"><p class="stop-title"><svg width="26" height="26" viewBox="0 0 26 26" aria-hidden="true"><path d="M8 1h10l7 7v10l-7 7H8l-7-7V8z" fill="currentColor" /><path d="M13 6v9M13 18v3" stroke="var(--paper)" stroke-width="3" /></svg>${esc(title)}</p><ul>${items.join("")}</ul></div>`;
}

function foot({ feed, changed }: Mix, code: string, lettered = false): string {
  const said = [
    feed.foot.edition,
    changed.length > 0 ? "" : feed.foot.said,
    lettered ? `${feed.basis.letter} ${feed.basis.word.toLowerCase()}.` : "",
  ];
  return `<footer class="imprint"><b>${esc(code)}</b> ${esc(sentences(said))}${feed.foot.demo && ` <span class="demo-mark">${esc(feed.foot.demo)}</span>`} <span class="pencil">${esc(paperWords.replacing)}</span></footer>`;
}

function sentences(parts: readonly string[]): string {
  return parts.filter((part) => part !== "").join(" ");
}
