import { createApp } from "astro/app/entrypoint";
import type { Edition } from "../../generator/editions.ts";
import { edition, open as show } from "../edition.ts";
import { sheets } from "../paper/sheets.ts";
import { cropOf } from "./own.ts";

export { cropOf, frameOf, ownEditions } from "./own.ts";

/** Opens an edition: the pages asked for from now on are of this one. */
export function open(next: Edition): void {
  show(next);
}

/** The address of every page of the open edition, `/crops/basil-sweet`, as the pages themselves say. */
export async function addresses(): Promise<readonly string[]> {
  const found: string[] = [];
  for (const { routeData } of app.manifest.routes) {
    if (routeData.type !== "page" || !/\/pages\//.test(routeData.component)) continue;
    if (routeData.params.length === 0) {
      found.push(routeData.route);
      continue;
    }
    const { page } = await app.manifest.pageMap!.get(routeData.component)!();
    const { getStaticPaths } = (await page()) as unknown as { readonly getStaticPaths?: () => readonly Path[] };
    for (const { params } of getStaticPaths?.() ?? [])
      found.push(routeData.route.replace(/\/\[(?:\.\.\.)?([^\]]+)\]/g, (_, name: string) => below(params[name])));
  }
  return found;
}

/** The addresses of the pages of the one crop of a small edition that is open. */
export function ownAddresses(): readonly string[] {
  const all = [
    ...edition.crops.map(({ id }) => `/crops/${id}`),
    ...sheets().map(({ what, id }) => `/sheets/${what}/${id}`),
  ];
  return all.filter((address) => cropOf(address) !== undefined);
}

/** The page at an address, or why there is none: the open edition has none there, or it could not be made. */
export async function page(address: string): Promise<string> {
  const response = await app.render(new Request(new URL(encodeURI(address), "http://localhost")));
  const right = address === "/404" ? 404 : 200;
  if (response.status !== right)
    throw new Error(`The page ${address} could not be made: it answers ${response.status}`);
  return response.text();
}

interface Path {
  readonly params: Readonly<Record<string, string | undefined>>;
}

function below(name: string | undefined): string {
  return name === undefined ? "" : `/${name}`;
}

const app = createApp({ streaming: false });
