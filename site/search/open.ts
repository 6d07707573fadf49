import type { Found, Name } from "./rank.ts";

/** An opened search: what its pages are called, and what its index finds. */
export interface Search {
  readonly names: readonly Name[];
  find(query: string): Promise<readonly (Found & { data(): Promise<Text> })[]>;
}

/** What was found on a page: its best lines, and those of its sections. Lines are HTML with nothing but `<mark>` in it. */
export interface Text {
  readonly excerpt: string;
  readonly sub_results: readonly {
    readonly title: string;
    readonly excerpt: string;
    readonly anchor?: { readonly id: string };
  }[];
}

/**
 * Where the book begins, told by the address of the script that runs now: scripts lie one folder below the root.
 * Undefined while developing, where scripts are modules and there is no search yet.
 */
export const root: URL | undefined =
  typeof document !== "undefined" && document.currentScript instanceof HTMLScriptElement && document.currentScript.src
    ? new URL("../", document.currentScript.src)
    : undefined;

/**
 * Loads the pack of the book at `root`.
 * @throws Error if a file of the pack is missing
 */
export async function openSearch(root: URL): Promise<Search> {
  const { engine, core } = (await handed(new URL("pack/search.js", root))) as Pack;
  const answer = async (address: string): Promise<Response> => {
    const path = new URL(address, "file:///").pathname.slice(home.length);
    const part = new URL(`pack/${path.split("/").at(-1)}.js`, root);
    const content = core.files[path] ?? ((await handed(part)) as string);
    return new Response(Uint8Array.from(atob(content), (letter) => letter.charCodeAt(0)));
  };
  const instance = engine(answer, undefined).createInstance({
    basePath: home,
    baseUrl: "/",
    noWorker: true,
    metaCacheTag: "",
    ranking: { metaWeights: { title: 6, names: 6, code: 10, kind: 0.1, asked: 0 } },
  });
  return { names: core.names, find: async (query) => (await instance.search(query)).results };
}

const home = "/pagefind/";

interface Pack {
  readonly engine: (
    fetch: (address: string) => Promise<Response>,
    Worker: undefined,
  ) => {
    createInstance(options: object): {
      search(query: string): Promise<{ results: Awaited<ReturnType<Search["find"]>> }>;
    };
  };
  readonly core: { readonly files: Readonly<Record<string, string>>; readonly names: readonly Name[] };
}

/** What a script of the pack hands over as it runs. */
function handed(address: URL): Promise<unknown> {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    const missing = () => reject(new Error(`${address.pathname} did not load`));
    script.addEventListener("pack", (event) => resolve((event as CustomEvent<unknown>).detail));
    script.addEventListener("load", missing);
    script.addEventListener("error", missing);
    script.src = address.href;
    document.head.append(script);
    script.addEventListener("load", () => script.remove());
  });
}
