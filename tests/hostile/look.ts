import type { Page } from "playwright-core";

/** Has a page keep what its policy refused. */
export async function watchPolicy(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const refused: string[] = [];
    Object.assign(globalThis, { refused });
    document.addEventListener("securitypolicyviolation", ({ violatedDirective, blockedURI }) =>
      refused.push(`policy ${violatedDirective} ${blockedURI}`),
    );
  });
}

/** In the page: what it has that could do something, or has done it; and all its text. */
export function lookOver(marked: string): { readonly odd: readonly string[]; readonly text: string } {
  const { refused = [], ...all } = globalThis as unknown as { refused?: readonly string[] } & Record<string, unknown>;
  const odd = [...refused];
  for (const element of document.querySelectorAll("*")) {
    const name = element.tagName.toLowerCase();
    element.dispatchEvent(new MouseEvent("mouseover"));
    element.dispatchEvent(new FocusEvent("focus"));
    if (/^(?:iframe|object|embed|base|foreignobject|style|math|applet|frame|portal)$/.test(name)) odd.push(`<${name}>`);
    if (name === "script" && element.getAttribute("type") === "application/json")
      try {
        JSON.parse(element.textContent ?? "");
      } catch {
        odd.push(`data that is no JSON: ${element.textContent}`);
      }
    if (name === "script" && !element.getAttribute("src") && element.getAttribute("type") !== "application/json")
      odd.push("<script> of its own");
    if (name === "meta" && /refresh/i.test(element.getAttribute("http-equiv") ?? ""))
      odd.push("<meta> that leads away");
    for (const { name: key, value } of element.attributes) {
      if (/^on/i.test(key)) odd.push(`<${name} ${key}>`);
      if (/^(?:href|src|srcset|srcdoc|action|formaction|data|poster|xlink:href)$/i.test(key)) {
        if (/^\s*(?:javascript|vbscript):/i.test(value)) odd.push(`<${name} ${key}=${value}>`);
        if (/^\s*data:/i.test(value) && name !== "img") odd.push(`<${name} ${key}=${value}>`);
        if (key !== "href" && /elsewhere/.test(value)) odd.push(`<${name} ${key}=${value}>`);
      }
    }
  }
  if (marked in all || (globalThis as unknown as Record<string, unknown>)[marked] !== undefined)
    odd.push("a script of a record ran");
  return { odd, text: (document.body.textContent ?? "").replace(/\s+/g, " ") };
}
