/** What of a file on the reader's own disk is needed, where a browser hands it over. @see WICG, File System Access */
export interface Handle {
  readonly name: string;
  getFile(): Promise<File>;
  createWritable(): Promise<Writable>;
  queryPermission?(want: { readonly mode: "readwrite" }): Promise<PermissionState>;
  requestPermission?(want: { readonly mode: "readwrite" }): Promise<PermissionState>;
}

interface Writable {
  write(data: Uint8Array): Promise<void>;
  close(): Promise<void>;
  abort(): Promise<void>;
}

/** A file that was chosen, and the way back to its place where the browser gives one. */
export interface Picked {
  readonly file: File;
  readonly handle: Handle | undefined;
}

/** How a file was put in its place: in no other case is anything on the disk another than before. */
export type Put = "saved" | "changed" | "forbidden" | "gone" | "failed";

/** Whether this browser can put a file back in its place. */
export const canPutBack = "showOpenFilePicker" in globalThis;

/** Asks for a file by the browser's own window; undefined when nobody chose one. @throws DOMException when it may not be asked */
export async function pickFile(): Promise<Picked | undefined> {
  try {
    const [handle] = await (globalThis as unknown as Pickers).showOpenFilePicker({
      types: [{ description: "Markdown", accept: { "text/markdown": [".md"] } }],
    });
    return handle && (await pickedBy(handle));
  } catch (error) {
    if ((error as DOMException).name === "AbortError") return undefined;
    throw error;
  }
}

/** What was dropped on a page; undefined when it was no file. */
export async function dropped(data: DataTransfer): Promise<Picked | undefined> {
  const item = [...data.items].find(({ kind }) => kind === "file") as DroppedItem | undefined;
  const file = item?.getAsFile();
  const handle = await item?.getAsFileSystemHandle?.().catch(() => undefined);
  if (handle?.kind === "file") return pickedBy(handle);
  return file ? { file, handle: undefined } : undefined;
}

export async function bytesOf(file: File): Promise<Uint8Array> {
  return new Uint8Array(await file.arrayBuffer());
}

/**
 * Puts a text in the place of a file that said `was` when it was opened. It is read again first: when another has written it
 * since, nothing is. The browser writes beside the file and swaps the two at the end, so that it is never half written.
 */
export async function putBack(handle: Handle, was: string, now: string): Promise<Put> {
  try {
    if (!(await allowed(handle))) return "forbidden";
    if (!(await says(handle, was))) return "changed";
    const writable = await handle.createWritable();
    try {
      await writable.write(new TextEncoder().encode(now));
      if (!(await says(handle, was))) {
        await writable.abort();
        return "changed";
      }
      await writable.close();
    } catch (error) {
      await writable.abort().catch(() => {});
      throw error;
    }
    return (await says(handle, now)) ? "saved" : "failed";
  } catch (error) {
    const { name } = error as DOMException;
    return name === "NotFoundError" ? "gone" : name === "NotAllowedError" ? "forbidden" : "failed";
  }
}

/** Hands a text to the browser as a download of this name. */
export function handOver(name: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: "text/markdown" }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

interface Pickers {
  showOpenFilePicker(options: unknown): Promise<readonly Handle[]>;
}

type DroppedItem = DataTransferItem & {
  getAsFileSystemHandle?(): Promise<(Handle & { readonly kind: "file" | "directory" }) | null>;
};

async function pickedBy(handle: Handle): Promise<Picked> {
  return { file: await handle.getFile(), handle };
}

async function allowed(handle: Handle): Promise<boolean> {
  const want = { mode: "readwrite" } as const;
  if (!handle.queryPermission || !handle.requestPermission) return true;
  return (await handle.queryPermission(want)) === "granted" || (await handle.requestPermission(want)) === "granted";
}

async function says(handle: Handle, text: string): Promise<boolean> {
  const [bytes, wanted] = [await bytesOf(await handle.getFile()), new TextEncoder().encode(text)];
  return bytes.length === wanted.length && bytes.every((byte, index) => byte === wanted[index]);
}
