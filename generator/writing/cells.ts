import type { Severity } from "../records/messages.ts";
import { unitNamed } from "../science/units.ts";
import type { Column } from "./columns.ts";

/** What a cell says for its field, and what there is to say about it. */
export interface Said {
  readonly value: string;
  readonly slip?: {
    readonly rule: "cell-unit" | "cell-fault" | "cell-formula";
    readonly severity: Severity;
    readonly message: string;
    readonly note: string;
  };
}

/**
 * What a cell says, with the unit of its header where it has none of its own. A cell whose own unit is another than the
 * header's is told, since one of the two is wrong; so is what a spreadsheet leaves behind, a formula or its fault.
 */
export function said(text: string, { header, target, unit }: Column): Said {
  const form = target.is === "field" ? target.meta.form : "text";
  if (/^#(?:N\/A|REF!|VALUE!|NAME\?|DIV\/0!|NUM!|NULL!)$/.test(text))
    return {
      value: text,
      slip: {
        rule: "cell-fault",
        severity: "error",
        message: `Unexpected \`${text}\`, expected a value`,
        note: "A formula failed in the spreadsheet. Mend it there, or leave the cell blank",
      },
    };
  if (/^[=+@]/.test(text) && form === "text")
    return {
      value: text,
      slip: {
        rule: "cell-formula",
        severity: "info",
        message: `\`${text}\` starts as a formula does and is kept as text`,
        note: "If a value was meant, save the table with its values",
      },
    };
  if (unit === undefined) return { value: text };
  const own = unitsIn(text);
  if (own.length === 0) return { value: `${text} ${unit}` };
  const other = own.find((name) => unitNamed(name) !== undefined && unitNamed(name) !== unit);
  if (other === undefined) return { value: text };
  return {
    value: text,
    slip: {
      rule: "cell-unit",
      severity: "error",
      message: `Unexpected \`${text}\` below the header \`${header}\`, expected a figure in ${unit}`,
      note: "One of the two units is wrong. Mend the cell, or take the unit out of the header",
    },
  };
}

/** Whatever stands in a figure beside its numbers and the dash between them. */
function unitsIn(text: string): readonly string[] {
  return text
    .split(/[+−-]?(?:\d+(?:[.,]\d+)*|[.,]\d+)|[–—‒―‐‑−-]|\bto\b/u)
    .map((part) => part.trim())
    .filter((part) => part !== "");
}
