import { config } from "zod";
import { Desk } from "./desk.ts";

// The policy of the page lets nothing be made into code as it runs.
config({ jitless: true });

customElements.define(
  "edit-record",
  class extends HTMLElement {
    connectedCallback(): void {
      new Desk(this).start();
    }
  },
);
