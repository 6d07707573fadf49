import { watchWords } from "./words.ts";

/** Where the watching itself answers; no page of a book has such an address. */
export const addresses = { script: "/watch/watch.js", style: "/watch/watch.css", events: "/watch/events" };

/** A page that shows the next one by itself; `shown` is which one this is. */
export function watched(page: string, shown: string): string {
  const tags = `<link rel="stylesheet" href="${addresses.style}"><script defer src="${addresses.script}" data-shown="${shown}"></script>`;
  return page.includes("</head>") ? page.replace("</head>", () => `${tags}</head>`) : tags + page;
}

/** Listens for the next page, and lists what is wrong with the records below this one. */
export const script = `{
  const { shown } = document.currentScript.dataset;
  const box = document.createElement("aside");
  box.className = "watch-wrong";
  box.setAttribute("role", "status");
  const line = (text, name) => {
    const made = document.createElement(name);
    made.textContent = text;
    return made;
  };
  const say = (title, lines) => {
    box.replaceChildren(line(title, "p"), ...lines.map((text) => line(text, "pre")));
    if (!box.isConnected) document.body.append(box);
  };
  const source = new EventSource(${JSON.stringify(addresses.events)});
  source.addEventListener("look", ({ data }) => {
    const now = JSON.parse(data);
    if (now.wrong.length > 0) say(${JSON.stringify(watchWords.stays)}, now.wrong);
    else if (now.shown !== shown) location.reload();
    else box.remove();
  });
  source.addEventListener("error", () => say(${JSON.stringify(watchWords.gone)}, []));
  source.addEventListener("open", () => box.remove());
}
`;

export const style = `.watch-wrong { position: fixed; inset: auto 0 0; z-index: 9; max-height: 50vh; overflow: auto; padding: 12px 16px;
  border-top: 4px solid #a02a12; background: #fff6f2; color: #201510; font: 16px/1.4 system-ui, sans-serif; }
.watch-wrong p { margin: 0 0 8px; font-weight: 700; }
.watch-wrong pre { margin: 0 0 4px; white-space: pre-wrap; font: 15px/1.4 ui-monospace, monospace; }
@media print { .watch-wrong { display: none; } }
`;
