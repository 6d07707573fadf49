import { quantity } from "../../generator/format.ts";
import { paperWords } from "../paper/words.ts";
import { pairsIn } from "./address.ts";
import { acidMillilitres, type Mix, type MixFeed, mixOf } from "./mix.ts";
import { mixHtml } from "./mix-html.ts";

// The paper of a feed: with a recipe in its address it holds that one, and acid stays behind its stop box.
customElements.define(
  "stock-mix",
  class extends HTMLElement {
    connectedCallback(): void {
      const pairs = pairsIn(location.search);
      const feed = JSON.parse(this.dataset.feed ?? "{}") as MixFeed;
      if (pairs.size === 0) return;
      const mix = mixOf(feed, pairs);
      if (mix) this.innerHTML = mixHtml(mix);
      else {
        // Rather no weights than those of another recipe.
        this.replaceChildren();
        document.querySelector<HTMLElement>(".unread")!.hidden = false;
      }
      const part = this.querySelector<HTMLElement>("[data-acid-part]");
      if (mix && part) part.addEventListener("input", () => sayAcid(part, mix));
    }
  },
);

/** Says how much acid when somebody trained has said so and the bottle's figures are put in; else why not. */
function sayAcid(part: HTMLElement, mix: Mix): void {
  const { acid } = paperWords.mix;
  const control = (name: string) => part.querySelector<HTMLInputElement>(`[data-acid="${name}"]`)!;
  const read = (name: string) => Number(control(name).value.trim() || Number.NaN);
  const [strength, density] = [read("strength"), read("density")];
  const says = part.querySelector<HTMLElement>("[data-acid-says]")!;
  const asked = control("trained").checked;
  const filled = control("strength").value.trim() !== "" && control("density").value.trim() !== "";
  const sound = strength > 0 && strength <= 100 && density >= 0.8 && density <= 2;
  part.toggleAttribute("data-shown", asked && sound);
  says.textContent = !asked || !filled ? acid.hidden : sound ? figure(mix, strength, density) : acid.wrong;
}

function figure(mix: Mix, strength: number, density: number): string {
  const millilitres = quantity(acidMillilitres(mix, strength, density), "mL", 3);
  const { acid } = paperWords.mix;
  return acid.figure(
    millilitres,
    quantity(mix.stock.tankLitres, "L"),
    quantity(strength, "%"),
    quantity(density, "kg/L"),
  );
}
