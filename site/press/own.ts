import type { CustomerEdition, Edition, StaffEdition } from "../../generator/editions.ts";
import { cropQuestionIds } from "../worksheets.ts";

/**
 * The crop that a page is of and nothing else: its card, its bench card, its growing-on sheets. Undefined for a page that may
 * speak of anything.
 */
export function cropOf(address: string): string | undefined {
  const [, crop, card, growing] =
    /^\/crops\/([^/]+)$|^\/sheets\/bench-card\/([^/]+)$|^\/sheets\/growing-on\/([^/]+)-[^-/]+$/.exec(address) ?? [];
  return crop ?? card ?? growing;
}

/** What the pages of one crop may know. */
export interface Own {
  /** As plain data, to tell whether it is what it was. */
  readonly data: object;
  /** The same as an edition to open. Whatever else a page asks it for is a slip of the program, and throws. */
  readonly edition: Edition;
}

/** The small edition of each crop: what its pages print of it, and of other records no more than they name. */
export function ownEditions(edition: Edition): (crop: string) => Own {
  const of = edition.audience === "staff" ? staffOwn(edition) : customerOwn(edition);
  return (crop) => {
    const data = of(crop);
    return { data, edition: guarded(data, "edition") as Edition };
  };
}

/**
 * An edition without what only the pages of each crop itself tell: from it all other pages are printed, so that they are what
 * they were when no more than that has changed. Of prose the headings are left. Whatever else is asked for of a crop throws.
 */
export function frameOf(edition: Edition): Own {
  const crops = edition.crops.map((crop) => {
    const left = Object.entries(crop).filter(([key]) => !alone.includes(key));
    const frame = Object.fromEntries(left);
    if (edition.audience === "customer") frame.prose = crop.prose.map(({ heading }) => closed({ heading }, ["html"]));
    return frame;
  });
  const data = { ...edition, crops };
  return { data, edition: { ...edition, crops: crops.map((crop) => closed(crop, alone)) } as unknown as Edition };
}

/** What no page but a crop's own tells of it. */
const alone: readonly string[] = ["prose", "history", "elsewhere", "findings", "cautions", "response", "before"];

/** The same object, which throws when it is asked for what it does not hold of `keys`. */
function closed(held: object, keys: readonly string[]): object {
  for (const key of keys)
    if (!Object.hasOwn(held, key))
      Object.defineProperty(held, key, {
        get: () => {
          throw new Error(`Only the pages of a crop itself may read its \`${key}\`: own.ts says what others may`);
        },
      });
  return held;
}

function customerOwn(edition: CustomerEdition): (crop: string) => object {
  const crops = new Map(edition.crops.map((crop) => [crop.id, crop]));
  const around = {
    audience: edition.audience,
    book: edition.book,
    guides: edition.guides
      .filter(({ kind, prose }) => kind === "emergency" || prose.some(({ heading }) => heading === "This week"))
      .map(({ id, kind, title, prose }) => ({ id, kind, title, prose: prose.map(({ heading }) => ({ heading })) })),
  };
  return (crop) => ({ ...around, crops: [crops.get(crop)] });
}

function staffOwn(edition: StaffEdition): (crop: string) => object {
  const crops = new Map(edition.crops.map((crop) => [crop.id, crop]));
  const closed = new Map(edition.closeouts.crops.map(({ crop, closed }) => [crop, closed]));
  const orders = byCrop(edition.orders);
  const lots = byCrop(edition.lots);
  const batches = byCrop(edition.batches.filter(({ closed }) => closed === undefined));
  const sowings = byCrop(edition.plan.sowings);
  const gear = new Map(edition.gear.map((one) => [one.id, one]));
  const tower = edition.gear.find(({ kind, tiers }) => kind === "tower" && tiers !== undefined);
  const fills = cropQuestionIds.map((id) => {
    return [id, Map.groupBy(edition.fills[id] ?? [], ({ record }) => record)] as const;
  });
  const around = {
    audience: edition.audience,
    book: edition.book,
    guides: edition.guides
      .filter(({ kind }) => kind === "emergency")
      .map(({ id, kind, title }) => ({ id, kind, title, prose: [] })),
    // A crop page lists no other records: these are only looked through for what belongs to it.
    feeds: [],
    salts: [],
    waters: [],
    weeks: [],
    trials: [],
  };
  return (id) => {
    const crop = crops.get(id);
    const records = [`crops/${id}`, ...(lots.get(id) ?? []).map((lot) => `lots/${lot.id}`)];
    return {
      ...around,
      crops: [crop],
      gear: [
        ...new Set([...(crop?.lines ?? []).flatMap((line) => gear.get(line) ?? []), ...(tower ? [tower] : [])]),
      ].map(({ id, kind, name, tiers, faces, figures: { ec } }) => ({
        ...{ id, kind, name, tiers, faces, planting: undefined },
        figures: ec ? { ec } : {},
      })),
      orders: (orders.get(id) ?? []).map(({ id, crop, amount }) => ({ id, crop, amount })),
      lots: (lots.get(id) ?? []).map(({ id, crop }) => ({ id, crop })),
      batches: (batches.get(id) ?? []).map(({ id, crop, code }) => ({ id, crop, code, closed: undefined })),
      plan: { sowings: (sowings.get(id) ?? []).slice(0, 1).map(({ crop, week, sown }) => ({ crop, week, sown })) },
      closeouts: { crops: [{ crop: id, closed: closed.get(id) ?? 0 }] },
      fills: Object.fromEntries(
        fills.map(([question, found]) => [question, records.flatMap((record) => found.get(record) ?? [])]),
      ),
    };
  };
}

/** Records by the crop that they are of. */
function byCrop<Item extends { readonly crop: string }>(items: readonly Item[]): ReadonlyMap<string, readonly Item[]> {
  return Map.groupBy(items, ({ crop }) => crop);
}

/** An object that throws when it is asked for what it does not hold, all the way down but for lists and the crop's own data. */
function guarded(value: unknown, name: string): unknown {
  if (Array.isArray(value)) return name === "crops" ? value : value.map((item) => guarded(item, name));
  if (typeof value !== "object" || value === null || open.has(name)) return value;
  const inner = Object.fromEntries(Object.entries(value).map(([key, item]) => [key, guarded(item, key)]));
  return new Proxy(inner, {
    get(target, key) {
      if (typeof key === "symbol" || Object.hasOwn(target, key)) return Reflect.get(target, key);
      throw new Error(`A page of one crop may not read \`${key}\` of \`${name}\`: own.ts says what it may`);
    },
  });
}

/** What is looked up by a name that need not be there. */
const open: ReadonlySet<string> = new Set(["book", "figures", "fills"]);
