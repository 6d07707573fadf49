/** What this browser was told to keep under a name; nothing when it keeps nothing. */
export function kept(name: string): string | undefined {
  try {
    return localStorage.getItem(name) ?? undefined;
  } catch {
    return undefined;
  }
}

/** Has this browser keep a choice for the next page. */
export function keep(name: string, value: string): void {
  try {
    localStorage.setItem(name, value);
  } catch {
    // A browser that keeps nothing still shows what was chosen.
  }
}
