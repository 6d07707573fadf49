import { pairsOf } from "./address.ts";
import type { Around } from "./onward.ts";

/** What a page carries in an attribute, as it was printed; nothing when it has none. */
export function carried(text: string | undefined): Readonly<Record<string, unknown>> {
  return text ? (JSON.parse(text) as Record<string, unknown>) : {};
}

/** What stands around a sheet, by its address and what its page carries; `base` is what its form was printed with. */
export function aroundOf(host: HTMLElement, input: unknown, base: unknown): Around {
  const [folder = "", file = ""] = location.pathname.split("/").slice(-2);
  const { rain, feed } = host.dataset;
  return {
    here: `${folder}/${file.replace(/\.html$/, "")}`,
    rain: rain === undefined ? undefined : (carried(rain) as Readonly<Record<string, number>>),
    feed: feedLike(host, input) ?? (feed === undefined ? undefined : { id: feed, base: pairsOf(base) }),
    back: new URLSearchParams(location.search).get("back") ?? undefined,
  };
}

/** The feed of the book that asks for the same: its paper is the one to weigh by. */
function feedLike(host: HTMLElement, input: unknown): Around["feed"] {
  const targets = (of: unknown) => [...pairsOf({ targets: (of as { targets?: unknown }).targets })].sort().join();
  for (const { dataset } of host.querySelectorAll<HTMLOptionElement>('option[data-record^="feeds/"]')) {
    const values = carried(dataset.values);
    if (targets(values) === targets(input))
      return { id: dataset.record!.slice("feeds/".length), base: pairsOf(values) };
  }
  return undefined;
}
