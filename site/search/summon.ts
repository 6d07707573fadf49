import { root } from "./open.ts";

/**
 * Brings the script of `<book-search>` when somebody goes to a search form, and at once where the form is what the page is
 * for. Until then a form says what it will be, and sends what was typed to the A to Z.
 */
export function summonSearch(): void {
  const boxes = document.querySelectorAll("book-search");
  // While developing there is no pack.
  if (!root || boxes.length === 0) return;
  const address = new URL("pack/box.js", root);
  let summoned = false;
  const summon = (): void => {
    if (summoned) return;
    summoned = true;
    const script = document.createElement("script");
    script.src = address.href;
    // A file that did not come is asked for again at the next try.
    script.addEventListener("error", () => {
      summoned = false;
      script.remove();
    });
    document.head.append(script);
  };
  for (const box of boxes) {
    const input = box.querySelector("input");
    for (const [name, value] of combobox) input?.setAttribute(name, value);
    box.addEventListener("focusin", summon);
    if (box.hasAttribute("open") || box.contains(document.activeElement)) summon();
    // Some browsers take the folder of a page for another site and refuse to send a form to it; following an address is
    // the same thing.
    box.querySelector("form")?.addEventListener("submit", (event) => {
      event.preventDefault();
      const page = new URL((event.currentTarget as HTMLFormElement).action);
      if (input) page.searchParams.set(input.name, input.value.trim());
      location.href = page.href;
    });
  }
}

/** A screen reader says what it is as it comes to it: not a moment later, when the script is there. */
const combobox = [
  ["role", "combobox"],
  ["aria-autocomplete", "list"],
  ["aria-haspopup", "listbox"],
  ["aria-expanded", "false"],
] as const;
