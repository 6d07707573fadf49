import { date } from "../generator/format.ts";
import type { updateWords } from "./words.ts";

type Words = typeof updateWords;

/** An edition as its worker tells it: the day that it speaks of, and a name of its own for these very files. */
interface Edition {
  readonly id: string;
  readonly date: string;
}

/**
 * Says so when a newer edition is ready, and shows it when the reader asks. Nothing is reloaded unasked: until then this page
 * and all that it loads stay of one edition. Does nothing from a folder.
 */
export function tellOfNewer(words: Words): void {
  if (!location.protocol.startsWith("http") || !("serviceWorker" in navigator)) return;
  bringBack();
  const { serviceWorker } = navigator;
  // A page that came before any worker is of the edition that the first one keeps.
  const here = serviceWorker.controller
    ? editionOf(serviceWorker.controller)
    : serviceWorker.ready.then(({ active }) => active && editionOf(active));
  let asked = false;
  const tell = async (worker: ServiceWorker) => {
    const [shown, newer] = await Promise.all([here, editionOf(worker)]);
    if (!shown || shown.id === newer.id) return;
    say(
      words,
      shown.date === newer.date || newer.date === "" ? words.again : words.newer(date(newer.date)),
      async () => {
        asked = true;
        hold();
        // A sheet writes itself into the address a little after the last key.
        await Promise.all([pause(700), given(worker)]);
        location.reload();
      },
    );
  };
  serviceWorker.addEventListener("controllerchange", () => {
    // Another page has asked for it. This one goes on as it is.
    if (!asked && serviceWorker.controller) void tell(serviceWorker.controller);
  });
  void serviceWorker.ready.then((registration) => {
    if (registration.waiting) void tell(registration.waiting);
    const follow = (worker: ServiceWorker | null) =>
      worker?.addEventListener("statechange", () => {
        if (worker.state === "installed") void tell(worker);
      });
    follow(registration.installing);
    registration.addEventListener("updatefound", () => follow(registration.installing));
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") registration.update().catch(() => {});
    });
  });
}

/** Tells a waiting edition to take over; over when it has, or when it never will. */
function given(worker: ServiceWorker): Promise<unknown> {
  if (worker.state !== "installed") return Promise.resolve();
  const taken = new Promise((resolve) => {
    navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true });
  });
  worker.postMessage("show");
  return Promise.race([taken, pause(5000)]);
}

function editionOf(worker: ServiceWorker): Promise<Edition> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }: MessageEvent<Edition>) => resolve(data);
    worker.postMessage("edition", [port2]);
  });
}

function say(words: Words, sentence: string, show: () => Promise<void>): void {
  document.querySelector(".newer")?.remove();
  const bar = document.createElement("aside");
  const text = document.createElement("p");
  const [yes, no] = [button(words.show), button(words.notNow)];
  bar.className = "newer";
  text.setAttribute("role", "status");
  yes.addEventListener("click", () => {
    yes.disabled = true;
    void show();
  });
  no.addEventListener("click", () => bar.remove());
  bar.append(text, yes, no);
  document.body.append(bar);
  // A region is read aloud when it changes, not when it comes with its words.
  setTimeout(() => {
    const strong = document.createElement("b");
    strong.textContent = sentence;
    text.replaceChildren(strong, ` ${words.kept}`);
  }, 100);
}

function button(label: string): HTMLButtonElement {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = label;
  return made;
}

type Control = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;

/** What is filled in or ticked and stands in no address, by name; what must be read anew, such as a stop box, is left out. */
function controls(): readonly (readonly [string, Control])[] {
  const all = document.querySelectorAll<Control>("input:not([type=search], [type=file]), select, textarea");
  return [...all]
    .filter((control) => !control.closest("[data-root], [data-unsaved]"))
    .flatMap((control) => {
      const name = control.name || control.id;
      if (name === "") return [];
      return [[control.type === "radio" ? `${name} ${control.value}` : name, control] as const];
    });
}

const store = "held";

function hold(): void {
  const held = controls().map(([name, control]) => [name, ticks(control) ? control.checked : control.value]);
  try {
    sessionStorage.setItem(store, JSON.stringify([location.pathname, held]));
  } catch {
    // What stands in the address is kept all the same.
  }
}

function bringBack(): void {
  let held: [string, [string, string | boolean][]] | undefined;
  try {
    held = JSON.parse(sessionStorage.getItem(store) ?? "[]");
    sessionStorage.removeItem(store);
  } catch {
    return;
  }
  if (held?.[0] !== location.pathname) return;
  const values = new Map(held[1]);
  for (const [name, control] of controls()) {
    const value = values.get(name);
    if (value === undefined || value === (ticks(control) ? control.checked : control.value)) continue;
    if (ticks(control)) control.checked = value === true;
    else control.value = String(value);
    for (const type of ["input", "change"]) control.dispatchEvent(new Event(type, { bubbles: true }));
  }
}

function ticks(control: Control): control is HTMLInputElement {
  return control.type === "checkbox" || control.type === "radio";
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
