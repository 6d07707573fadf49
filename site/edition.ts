import type { CustomerEdition, Edition, StaffEdition } from "../generator/editions.ts";

/** The one door between the library and the pages: the edition that is being printed. It is put there by {@link open}. */
export let edition: Edition;

/** The staff's edition, or undefined in the customer's: a page for staff has then no paths. */
export let staff: StaffEdition | undefined;
export let customer: CustomerEdition | undefined;

/** Opens an edition: from now on the pages print this one. */
export function open(next: Edition): void {
  edition = next;
  staff = next.audience === "staff" ? next : undefined;
  customer = next.audience === "customer" ? next : undefined;
}

/** What many pages need of an edition, made when the first asks and kept until another edition is opened. */
export function ofEdition<Made>(make: () => Made): () => Made {
  let made: { readonly of: Edition; readonly is: Made } | undefined;
  return () => {
    if (made?.of !== edition) made = { of: edition, is: make() };
    return made.is;
  };
}

// Whoever prints opens an edition; while the site itself is being developed, or looked at by a test, it opens one of its own.
if (import.meta.env.DEV) open(await ofFolder());

async function ofFolder(): Promise<Edition> {
  const [{ editionFor }, { load }, { loadSearch }, { resolve }] = await Promise.all([
    import("../generator/editions.ts"),
    import("../generator/node.ts"),
    import("../generator/search.ts"),
    import("node:path"),
  ]);
  const folder = resolve(process.env.TIERBOOK_CONTENT ?? "content");
  const { library } = await load(folder);
  if (!library) throw new Error(`The records in ${folder} have problems. Run \`npx tierbook check\` to see them.`);
  const audience = process.env.TIERBOOK_AUDIENCE;
  return editionFor(library, audience, audience === "staff" ? await loadSearch() : undefined);
}
