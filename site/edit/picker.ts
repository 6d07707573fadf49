import { bytesOf, canPutBack, dropped, type Picked, pickFile } from "./disk.ts";
import { button, made } from "./made.ts";
import { type Original, originalOf } from "./original.ts";
import { editWords } from "./words.ts";

/** Where files come from, and who takes them. */
export interface Picking {
  readonly input: HTMLInputElement;
  /** Shows that a file is held over the page. */
  readonly host: HTMLElement;
  readonly take: (picked: Picked) => void;
  readonly tell: (sentence: string) => void;
}

/** Takes what is picked or dropped: by the browser's own window for a file to be put back, or else by the plain one. */
export function takeFiles({ input, host, take, tell }: Picking): void {
  let plain = !canPutBack;
  input.addEventListener("click", (event) => {
    if (plain) return;
    event.preventDefault();
    pickFile().then(
      (picked) => picked && take(picked),
      () => {
        plain = true;
        tell(editWords.refused.picker);
      },
    );
  });
  input.addEventListener("change", () => {
    const file = input.files?.[0];
    if (file) take({ file, handle: undefined });
    input.value = "";
  });
  // A file that is dropped must not be opened by the browser in place of this page.
  const files = ({ dataTransfer }: DragEvent) => dataTransfer?.types.includes("Files") === true;
  addEventListener("dragover", (event) => {
    if (!files(event)) return;
    event.preventDefault();
    host.toggleAttribute("data-over", true);
  });
  addEventListener("dragleave", ({ relatedTarget }) => {
    if (relatedTarget === null) host.removeAttribute("data-over");
  });
  addEventListener("drop", (event) => {
    if (!files(event)) return;
    event.preventDefault();
    host.removeAttribute("data-over");
    void dropped(event.dataTransfer!).then((picked) => picked && take(picked));
  });
}

/** A file's text, or why a field cannot hold it whole. */
export async function held(file: File): Promise<Original | { readonly refusal: string }> {
  const { refused } = editWords;
  if (file.size > largest) return { refusal: refused.size(file.name) };
  const bytes = await bytesOf(file).catch(() => undefined);
  if (!bytes) return { refusal: refused.unread(file.name) };
  const found = originalOf(bytes);
  if (!found) return { refusal: refused.encoding(file.name) };
  const probe = made("textarea");
  probe.value = found.text;
  return probe.value === found.text ? found : { refusal: refused.signs(file.name) };
}

/** Asks before another file takes the place of one that is changed; true when it may. */
export function mayLeave(dialog: HTMLDialogElement, file: string, other: string, keeps: boolean): Promise<boolean> {
  const { title, says, stay, go } = editWords.leave;
  if (dialog.open) return Promise.resolve(false);
  const close = (answer: string) => () => dialog.close(answer);
  dialog.replaceChildren(
    made("h2", { id: "edit-leave" }, title(file)),
    made("p", {}, says(keeps)),
    made("p", { class: "ways" }, button(stay(file), close("stay")), button(go(other), close("go"))),
  );
  dialog.returnValue = "";
  dialog.showModal();
  return new Promise((resolve) => {
    dialog.addEventListener("close", () => resolve(dialog.returnValue === "go"), { once: true });
  });
}

/** The largest file that is opened [bytes]. A record is a page or two of text. */
const largest = 4_000_000;
