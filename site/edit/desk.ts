import { type Around, type Checked, checked, type Problem } from "./checked.ts";
import { canPutBack, type Handle, handOver, type Picked, pickFile, putBack } from "./disk.ts";
import { PlainForm } from "./form.ts";
import { allKept, forget, type Kept, keep, type Place, takeOver } from "./kept.ts";
import { type Asked, askedFor, fileName, isKind, takenFor, wantedSays } from "./kind.ts";
import { changeTables, offerItem } from "./listed.ts";
import { made } from "./made.ts";
import { mendOf } from "./mend.ts";
import { fileOf, type Original, original } from "./original.ts";
import { held, mayLeave, takeFiles } from "./picker.ts";
import { plainGroups } from "./plain.ts";
import { countOf, problemItems } from "./problems.ts";
import { longest, Ruled } from "./ruled.ts";
import { editWords } from "./words.ts";

/** The record that is open: its file as it was opened, and where it is kept while it is changed. */
interface Open {
  kind: Kept["kind"];
  readonly name: string;
  original: Original;
  handle: Handle | undefined;
  place: Place | undefined;
  handed: boolean;
  saved: boolean;
}

/** One record on a page: opened, changed, checked, and given back. */
export class Desk {
  readonly #host: HTMLElement;
  readonly #around: Around;
  readonly #asked: Asked | undefined;
  readonly #ruled: Ruled;
  readonly #form: PlainForm;
  #open: Open | undefined;
  #problems: readonly Problem[] = [];
  /** The text that the problems are of. */
  #checked = "";
  #later = 0;
  #pause = pause;
  #keeps = true;

  constructor(host: HTMLElement) {
    this.#host = host;
    this.#around = { ids: JSON.parse(host.dataset.ids ?? "{}"), edition: host.dataset.edition ?? "" };
    this.#asked = askedFor(location.search, this.#around);
    this.#ruled = new Ruled(this.#part("ruled"));
    const ruled = this.#ruled;
    this.#form = new PlainForm(this.#part("fields"), {
      get text() {
        return ruled.text;
      },
      put: (mend) => ruled.put(mend),
    });
  }

  start(): void {
    this.#host.setAttribute("ready", "");
    for (const part of this.#host.querySelectorAll<HTMLElement>("[data-scripted]"))
      part.hidden = part.dataset.scripted === "off";
    this.#part("wanted").textContent = wantedSays(this.#asked);
    this.#offerKept();
    this.#listen();
  }

  #listen(): void {
    takeFiles({
      input: this.#part("file"),
      host: this.#host,
      take: (picked) => void this.#take(picked),
      tell: (sentence) => this.#tell(sentence),
    });
    this.#part<HTMLSelectElement>("kind").addEventListener("change", ({ currentTarget }) => {
      const { value } = currentTarget as HTMLSelectElement;
      if (this.#open) this.#open.kind = value === "book" || isKind(value) ? value : undefined;
      this.#check();
    });
    this.#ruled.field.addEventListener("input", () => {
      if (this.#open) this.#open.handed = this.#open.saved = false;
      clearTimeout(this.#later);
      this.#later = window.setTimeout(() => this.#check(), this.#pause);
    });
    this.#part("back").addEventListener("click", () => void this.#saveBack());
    this.#part("copy").addEventListener("click", () => this.#handOver());
    this.#part("other").addEventListener("click", () => this.#handOver(true));
    addEventListener("beforeunload", (event) => {
      this.#keep();
      if (this.#differs && !this.#open?.handed) event.preventDefault();
    });
    addEventListener("pagehide", () => this.#keep());
    document.addEventListener("visibilitychange", () => this.#keep());
  }

  get #differs(): boolean {
    return this.#open !== undefined && this.#ruled.text !== this.#open.original.text;
  }

  /** The file as people know it: its folder and its name. */
  get #file(): string {
    return this.#open ? fileName(this.#open) : "";
  }

  /** Opens a file that was picked, unless it cannot be held here whole or the reader would rather stay. */
  async #take({ file, handle }: Picked): Promise<void> {
    const { name } = file;
    const found = await held(file);
    if ("refusal" in found) return this.#tell(found.refusal);
    if (!(await this.#mayLeave(name))) return;
    this.#keep();
    // What was handed to the browser has come to its place.
    for (const [key, kept] of allKept())
      if (kept.name === name && fileOf(original(kept.was), kept.now) === found.file) forget(takeOver(key, kept));
    const { kind, says } = takenFor(name, found.text, this.#asked, this.#around);
    this.#begin({ kind, name, original: found, handle }, found.text);
    this.#tell([...says, found.text.length > longest ? editWords.opened.long : ""].join(" ").trim());
    this.#ruled.goTo(1, 1);
  }

  #begin(found: Pick<Open, "kind" | "name" | "original" | "handle">, text: string, place?: Place): void {
    this.#open = { ...found, place, handed: false, saved: false };
    this.#part("work").hidden = false;
    this.#part<HTMLSelectElement>("kind").value = found.kind ?? "";
    this.#part("other").hidden = true;
    this.#part("back").hidden = !canPutBack;
    this.#part("save-says").textContent = canPutBack ? editWords.saveSays : editWords.saveSaysCopy;
    this.#ruled.show(text);
    this.#check();
    this.#offerKept();
  }

  /** Whether what is open may go: unchanged, handed over, or the reader says so. */
  async #mayLeave(other: string): Promise<boolean> {
    if (!this.#differs || this.#open?.handed) return true;
    this.#keep();
    return mayLeave(this.#part("leave"), this.#file, other, this.#keeps);
  }

  /** Says what the checker says of the text as it is now. */
  #check(): void {
    clearTimeout(this.#later);
    const open = this.#open;
    if (!open) return;
    const before = performance.now();
    const text = this.#ruled.text;
    const found: Checked | undefined =
      open.kind && checked({ kind: open.kind, name: open.name, text: fileOf(open.original, text) }, this.#around);
    this.#showProblems(found?.problems ?? [], text);
    const says = found ? countOf(this.#problems) : editWords.sayKind;
    for (const part of ["count", "peek-says"]) say(this.#part(part), says);
    const field = this.#ruled.field;
    field.setAttribute("aria-invalid", String(this.#problems.some(({ severity }) => severity === "error")));
    this.#form.show(found?.reading && plainGroups(found.reading), this.#problems);
    this.#part("changes").replaceChildren(...changeTables(open.original.text, text));
    this.#keep();
    this.#sayState();
    // A long text is checked less often than a short one, so that typing never waits for it.
    this.#pause = Math.max(pause, 2 * (performance.now() - before));
  }

  /** A list that stands already stays: what is being pressed must not be put in anew. */
  #showProblems(problems: readonly Problem[], text: string): void {
    const same = JSON.stringify(problems) === JSON.stringify(this.#problems);
    this.#problems = problems;
    this.#checked = text;
    this.#ruled.mark(problems);
    if (same) return;
    const items = problemItems(problems, text, {
      goTo: (line, column) => this.#ruled.goTo(line, column),
      mend: (problem) => this.#mend(problem),
    });
    this.#part("problems").replaceChildren(...items);
  }

  /** Puts the nearest word in, where it was meant to be by now. */
  #mend({ message, field }: Problem): void {
    if (this.#checked !== this.#ruled.text) this.#check();
    const problem = this.#problems.find((one) => one.message === message && one.field === field);
    const mend = problem && mendOf(this.#ruled.text, problem);
    if (!mend) return;
    this.#ruled.type(mend);
    this.#check();
    this.#tell(editWords.putSays(mend.put, problem.line));
  }

  #sayState(): void {
    const open = this.#open!;
    const { same, changed, handed, saved } = editWords.state;
    const ofChanged = open.handed ? handed : (file: string) => changed(file, this.#keeps);
    const says = (this.#differs ? ofChanged : open.saved ? saved : same)(this.#file);
    say(this.#part("state"), says);
    const standing = this.#problems.filter(({ severity }) => severity === "error");
    say(this.#part("faulty"), standing.length > 0 ? editWords.saveFaulty(countOf(standing)) : "");
    for (const part of ["back", "copy"]) this.#part<HTMLButtonElement>(part).disabled = !this.#differs;
  }

  /** Keeps what is typed until it is saved, and forgets it once it is. */
  #keep(): void {
    const open = this.#open;
    if (!open) return;
    if (!this.#differs) {
      forget(open.place);
      open.place = undefined;
      return;
    }
    const { kind, name, original, handed } = open;
    const kept = { kind, name, was: original.file, now: this.#ruled.text, ...(handed ? { handed } : {}) };
    open.place = keep(kept, open.place);
    this.#keeps = open.place !== undefined;
  }

  /** What was typed here and never saved. */
  #offerKept(): void {
    const offers = allKept().filter(([key]) => key !== this.#open?.place?.key);
    this.#part("unsaved").hidden = offers.length === 0;
    const items = offers.map(([key, kept]) =>
      offerItem(
        kept,
        () => void this.#takeUp(key, kept),
        () => this.#throwAway(key, kept),
      ),
    );
    this.#part("offers").replaceChildren(...items);
  }

  #throwAway(key: string, kept: Kept): void {
    forget(takeOver(key, kept));
    this.#offerKept();
    this.#tell(editWords.unsaved.dropped(fileName(kept)));
    this.#part("file").focus();
  }

  async #takeUp(key: string, kept: Kept): Promise<void> {
    if (!(await this.#mayLeave(kept.name))) return;
    this.#keep();
    const open = this.#open;
    // The same file is open already: it can be saved in its place.
    const same = open?.name === kept.name && open.original.file === kept.was;
    const { kind, name } = kept;
    this.#begin(
      { kind, name, original: original(kept.was), handle: same ? open.handle : undefined },
      kept.now,
      takeOver(key, kept),
    );
    this.#tell(editWords.unsaved.taken(this.#file));
    this.#ruled.goTo(1, 1);
  }

  /** Puts the text in the place of the file that was opened; a file without a way back is asked for once more. */
  async #saveBack(): Promise<void> {
    const open = this.#open;
    if (!open) return;
    const now = fileOf(open.original, this.#ruled.text);
    const handle = open.handle ?? (await pickFile().catch(() => undefined))?.handle;
    if (!handle) return;
    const { put } = editWords;
    if (handle.name !== open.name) return this.#tell(put.otherFile(handle.name, this.#file));
    const how = await putBack(handle, open.original.file, now);
    if (how === "saved") {
      open.original = original(now);
      open.saved = true;
      open.handle = handle;
    }
    this.#part("other").hidden = how !== "changed";
    this.#check();
    this.#tell(put[how](this.#file));
    if (how === "changed") this.#part("other").focus();
  }

  /** Hands the file to the browser under its own name, or under another beside the one that somebody else changed. */
  #handOver(other = false): void {
    const open = this.#open;
    if (!open) return;
    const name = other ? editWords.otherName(open.name.replace(/\.md$/, "")) : open.name;
    handOver(name, fileOf(open.original, this.#ruled.text));
    open.handed ||= !other;
    this.#keep();
    this.#sayState();
    this.#tell((other ? editWords.put.handedOther : editWords.put.handed)(name));
  }

  #tell(sentence: string): void {
    // Said anew even if it is the same: a region is read aloud when it changes.
    this.#part("told").replaceChildren(made("span", {}, sentence));
  }

  #part<Part extends HTMLElement = HTMLElement>(name: string): Part {
    return this.#host.querySelector<Part>(`[data-edit=${name}]`)!;
  }
}

/** How long nobody types before the text is checked [ms]. */
const pause = 200;

/** What stands already is not said again. */
function say(place: HTMLElement, text: string): void {
  if (place.textContent !== text) place.textContent = text;
}
