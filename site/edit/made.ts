/** An element with these attributes and these parts; text stays text. */
export function made<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  attributes: Readonly<Record<string, string | true>> = {},
  ...parts: readonly (Node | string)[]
): HTMLElementTagNameMap[Name] {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value === true ? "" : value);
  element.append(...parts);
  return element;
}

/** A button that says one thing and does one thing. */
export function button(says: string, does: () => void, attributes: Readonly<Record<string, string | true>> = {}) {
  const found = made("button", { type: "button", ...attributes }, says);
  found.addEventListener("click", does);
  return found;
}
