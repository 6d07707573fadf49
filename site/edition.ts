import { resolve } from "node:path";
import { type CustomerEdition, type Edition, editionFor, type StaffEdition } from "../generator/editions.ts";
import { load } from "../generator/node.ts";
import { loadSearch } from "../generator/search.ts";

/** The one door between the library and the pages: the edition of this build. */
export const edition: Edition = await open();

/** The staff's edition, or undefined in the customer's build: a page for staff has then no paths. */
export const staff: StaffEdition | undefined = edition.audience === "staff" ? edition : undefined;
export const customer: CustomerEdition | undefined = edition.audience === "customer" ? edition : undefined;

async function open(): Promise<Edition> {
  const folder = resolve(process.env.TIERBOOK_CONTENT ?? "content");
  const { library } = await load(folder);
  if (!library) throw new Error(`The records in ${folder} have problems. Run \`npx tierbook check\` to see them.`);
  const audience = process.env.TIERBOOK_AUDIENCE;
  return editionFor(library, audience, audience === "staff" ? await loadSearch() : undefined);
}
