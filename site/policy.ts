import type { Page } from "./page.ts";

/**
 * What a page may load and run: its own files and nothing else. It stands in a `<meta http-equiv>` of every page and
 * holds from a folder as well as served. No inline script and no inline style passes it; WebAssembly is for the search.
 */
export const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' data:",
  "font-src 'self' data:",
  "connect-src 'self'",
  "manifest-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'self'",
].join("; ");

/** What a page under this policy holds that a browser would leave undone without a word to the reader. */
export function refusedByPolicy(page: Page): readonly string[] {
  const held = page.elements.some(
    ({ tagName, properties }) => tagName === "meta" && properties.content === contentSecurityPolicy,
  );
  if (!held) return [];
  const found: string[] = [];
  for (const { tagName, properties } of page.elements) {
    for (const name in properties)
      if (/^on[a-z]/.test(name))
        found.push(`Unexpected \`${name}\` on \`<${tagName}>\`, expected a listener in a script`);
      else if (name === "style") found.push(`Unexpected \`style\` on \`<${tagName}>\`, expected a class`);
    if (tagName === "style") found.push("Unexpected inline `<style>`, expected a style sheet in a file");
    else if (tagName === "script" && !("src" in properties) && runs(properties.type))
      found.push("Unexpected inline `<script>`, expected its code in a file");
  }
  return found;
}

function runs(type: unknown): boolean {
  return !type || /^(module|(text|application)\/javascript)$/i.test(String(type));
}
