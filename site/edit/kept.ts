import type { Kind } from "../../generator/records/index.ts";

/** What is typed and not saved: the record, its whole file as it was opened, and its text as it is now. */
export interface Kept {
  readonly kind: Kind | "book" | undefined;
  readonly name: string;
  readonly was: string;
  readonly now: string;
  /** It was handed to the browser as a download: nobody can say whether that was put in its place. */
  readonly handed?: true;
}

/** A place in the browser's memory for one record that is being changed; no two pages write into the same one. */
export interface Place {
  readonly key: string;
  /** What this page last put there. */
  text: string | undefined;
}

/** Everything that this browser keeps, by its key, in the order in which it was begun. */
export function allKept(): readonly (readonly [key: string, kept: Kept])[] {
  try {
    return Object.keys(localStorage)
      .filter((key) => key.startsWith(start))
      .sort((a, b) => Number(a.slice(start.length)) - Number(b.slice(start.length)))
      .flatMap((key) => {
        const kept = read(localStorage.getItem(key));
        return kept ? [[key, kept] as const] : [];
      });
  } catch {
    return [];
  }
}

/**
 * Keeps what is typed, and gives the place where it stands: the one given, or another when some other page has written there.
 * Undefined when this browser keeps nothing, or has no room for it.
 */
export function keep(kept: Kept, place?: Place): Place | undefined {
  try {
    const own =
      place && localStorage.getItem(place.key) === (place.text ?? null) ? place : { key: free(), text: undefined };
    own.text = JSON.stringify(kept);
    localStorage.setItem(own.key, own.text);
    return own;
  } catch {
    return undefined;
  }
}

/** Takes over the place of what another page left. */
export function takeOver(key: string, kept: Kept): Place {
  return { key, text: JSON.stringify(kept) };
}

/** Forgets what stands in a place, unless another page has written there since. */
export function forget(place: Place | undefined): void {
  try {
    if (place && localStorage.getItem(place.key) === place.text) localStorage.removeItem(place.key);
  } catch {
    // Nothing is kept, so that there is nothing to forget.
  }
}

const start = "record-";

function free(): string {
  let number = 1;
  while (localStorage.getItem(`${start}${number}`) !== null) number++;
  return `${start}${number}`;
}

function read(text: string | null): Kept | undefined {
  try {
    const { kind, name, was, now, handed } = JSON.parse(text ?? "") as Partial<Kept>;
    if (typeof name !== "string" || typeof was !== "string" || typeof now !== "string") return undefined;
    return { kind, name, was, now, ...(handed ? { handed } : {}) };
  } catch {
    return undefined;
  }
}
