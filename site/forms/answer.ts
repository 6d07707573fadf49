import type { Outcome, Worksheet } from "../../generator/worksheets/worksheet.ts";
import { innerUnits, type UnitKind } from "./units.ts";
import { type Group, groups, keyLines, nearestOf, parted, type Reader, tubs } from "./view.ts";
import { formWords } from "./words.ts";

/** An answered worksheet as HTML: the page is printed with it, and the browser puts the next one in its place. */
export function answerHtml(sheet: Worksheet, outcome: Outcome, reader: Reader): string {
  const shown = groups(sheet, outcome, reader);
  const large = outcome.refusal ? [] : shown.filter((group) => group.key && "rows" in group);
  const rest = shown.filter((group) => !large.includes(group) && !(group.key && sheet.answer["tubs.*.*"]));
  const weighed = Object.values(sheet.answer).some(({ weight }) => weight);
  const chosen = (Object.keys(innerUnits) as UnitKind[]).filter((kind) => reader.units[kind] !== innerUnits[kind]);
  const onward = `<p class="onward">${waysHtml(reader.ways ?? [])}</p>`;
  return [
    `<p class="outcome" tabindex="-1"><span class="verdict ${outcome.verdict}">${sign(outcome.verdict)}${formWords.verdicts[outcome.verdict]}</span></p>`,
    refusalHtml(sheet, outcome, reader),
    outcome.refusal ? onward : "",
    outcome.refusal && weighed ? `<p>${esc(formWords.refusedWeights)}</p>` : "",
    keysHtml(sheet, outcome, reader),
    tubsHtml(outcome, reader),
    outcome.refusal ? "" : onward,
    large.map(groupHtml).join(""),
    notesHtml(outcome),
    rest.length > 0
      ? `<details class="rest"><summary>${esc(formWords.rest)}</summary>${rest.map(groupHtml).join("")}</details>`
      : "",
    `<h3>${esc(formWords.parts.working)}</h3>`,
    chosen.length > 0
      ? `<p class="hint">${esc(formWords.inner(chosen.map((kind) => innerUnits[kind]).join(", ")))}</p>`
      : "",
    `<ol class="lines">${outcome.working.map((line) => `<li>${esc(line)}</li>`).join("")}</ol>`,
  ].join("");
}

/** An answer in one breath, for those who hear it. */
export function answerAloud(sheet: Worksheet, outcome: Outcome, reader: Reader): string {
  const keys = keyLines(sheet, outcome, reader).map(({ label, text }) => `${label}: ${text}`);
  return [`${formWords.verdicts[outcome.verdict]}.`, outcome.refusal?.why ?? `${keys.join("; ")}.`].join(" ");
}

/** Text made safe to stand in HTML. */
export function esc(text: string): string {
  return text.replace(/[&<>"]/g, (letter) => `&${{ "&": "amp", "<": "lt", ">": "gt", '"': "quot" }[letter]};`);
}

function keysHtml(sheet: Worksheet, outcome: Outcome, reader: Reader): string {
  const keys = keyLines(sheet, outcome, reader).map((line) => ({ label: line.label, ...parted(line) }));
  if (keys.length === 0) return "";
  // Dates and words stand smaller than figures, and all of a row alike.
  const long = keys.some(({ number }) => number.length > 9) ? ' class="long"' : "";
  const rows = keys.map(
    ({ label, number, unit }) =>
      `<div><dt>${esc(label)}</dt> <dd><span class="figure"><b${long}>${esc(number)}</b>${unit === "" ? "" : `<span class="unit">\u202f${esc(unit)}</span>`}</span></dd></div>`,
  );
  return `<dl class="keys">${rows.join("")}</dl>`;
}

function tubsHtml(outcome: Outcome, reader: Reader): string {
  const filled = tubs(outcome, reader);
  if (filled.length === 0) return "";
  const each = filled.map(({ letter, salts }) => {
    const rows = salts.map(
      ({ name, weigh }) => `<tr><th scope="row">${esc(name)}</th><td class="n weigh">${esc(weigh)}</td></tr>`,
    );
    return `<section class="tub"><h3>${tubSign(letter)}${esc(formWords.tub(letter))}</h3><table><tbody>${rows.join("")}</tbody></table></section>`;
  });
  return `<div class="tubs">${each.join("")}</div><p class="hint">${esc(formWords.order)}</p>`;
}

/** Where to go on from here, as links. */
export function waysHtml(ways: NonNullable<Reader["ways"]>): string {
  return ways.map(({ href, says }) => `<a class="do" href="${esc(href)}">${esc(says)}</a>`).join(" ");
}

/** What cannot be, by how much, and the nearest thing that can. */
export function refusalHtml(sheet: Worksheet, outcome: Outcome, reader: Reader): string {
  if (!outcome.refusal) return "";
  const nearest = nearestOf(sheet, outcome, reader);
  const rows = nearest.map(([label, text]) => `<dd>${esc(label)}: <b>${esc(text)}</b></dd>`);
  const list = rows.length > 0 ? `<dl><dt>${esc(formWords.nearest)}</dt>${rows.join("")}</dl>` : "";
  return `<div class="refusal"><p class="why">${esc(outcome.refusal.why)}</p>${list}</div>`;
}

function notesHtml({ notes }: Outcome): string {
  if (notes.length === 0) return "";
  const items = notes.map(
    ({ level, text }) =>
      `<li class="${level}">${level === "warn" ? `<b>${esc(formWords.look)}: </b>` : ""}${esc(text)}</li>`,
  );
  return `<ul class="notes">${items.join("")}</ul>`;
}

function groupHtml(group: Group): string {
  const title = group.title === "" ? "" : `<caption>${esc(group.title)}</caption>`;
  if ("rows" in group) {
    const head = ["", ...group.columns].map((column) => `<th scope="col">${esc(column)}</th>`).join("");
    const rows = group.rows.map(
      ([name, cells]) =>
        `<tr><th scope="row">${esc(name)}</th>${cells.map((cell) => `<td>${esc(cell)}</td>`).join("")}</tr>`,
    );
    return `<div class="wide" tabindex="0" role="region" aria-label="${esc(group.title)}"><table class="grid">${title}<thead><tr>${head}</tr></thead><tbody>${rows.join("")}</tbody></table></div>`;
  }
  const rows = group.lines.map(
    ({ label, text }) => `<tr><th scope="row">${esc(label)}</th><td class="n">${esc(text)}</td></tr>`,
  );
  return `<table class="plain">${title}<tbody>${rows.join("")}</tbody></table>`;
}

const shapes = {
  ok: '<circle cx="9" cy="9" r="8" />',
  warn: '<path d="M9 1l8.5 16H.5z" />',
  refuse: '<path d="M2 2l14 14M16 2L2 16" class="cross" />',
};

function sign(verdict: Outcome["verdict"]): string {
  return `<svg width="18" height="18" viewBox="0 0 18 18" aria-hidden="true">${shapes[verdict]}</svg>`;
}

/** A ring for A, a triangle for B, a square for any other: a wet page cannot confuse them. */
export function tubSign(letter: string): string {
  const shape =
    { A: '<circle cx="17" cy="17" r="13.5" />', B: '<path d="M17 3l15 27H2z" />' }[letter] ??
    '<path d="M4 4h26v26H4z" />';
  return `<svg class="tub-sign" width="34" height="34" viewBox="0 0 34 34" aria-hidden="true">${shape}</svg>`;
}
