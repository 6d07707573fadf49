import type { StaffEdition } from "../generator/editions.ts";
import { date, list, number, quantity } from "../generator/format.ts";
import { ofEdition, staff } from "./edition.ts";
import type { Figures, Sum } from "./figures.ts";
import { nameOf } from "./names.ts";
import { daysBetween, placeOf } from "./stages.ts";
import { words } from "./words.ts";

/** One thing to say of a record: in words, with the address of what it names. Undefined is not recorded. */
export interface Fact {
  readonly label: string;
  readonly text: string | undefined;
  readonly address?: string | undefined;
}

/** A record of the yard as a row of its list and as a page of its own. */
export interface Item {
  readonly id: string;
  readonly title: string;
  readonly facts: readonly Fact[];
  /** The labels of the facts that stand in the list. */
  readonly group?: string;
  readonly code?: string | undefined;
  readonly figures: Figures;
  readonly sums: readonly Sum[];
  readonly prose: readonly { readonly heading: string; readonly html: string }[];
}

/** A kind of record as the staff find it: a list, and a page for each. */
export interface Shelf {
  readonly kind: string;
  readonly title: string;
  readonly intro: string;
  /** The labels of the facts that the list shows. */
  readonly columns: readonly string[];
  readonly items: readonly Item[];
}

const { list: label } = words;

/** The shelves of the staff's edition; the customers' has none. */
export const shelves = ofEdition((): Readonly<Record<string, Shelf>> => (staff ? shelvesOf(staff) : {}));

/** The shelves whose records have pages made for them alone. */
export const ownPages: ReadonlySet<string> = new Set(["feeds", "gear", "trials"]);

function shelvesOf(book: StaffEdition): Readonly<Record<string, Shelf>> {
  const today = book.book.edition;
  const crop = (id: string): Fact => ({ label: label.crop, text: nameOf(id), address: `/crops/${id}` });
  const day = (name: string, on: string | undefined): Fact => ({ label: name, text: on && date(on) });
  const ref = (name: string, kind: string, id: string | undefined): Fact => ({
    label: name,
    text: id && nameOf(id),
    address: id && `/${kind}/${id}`,
  });
  const raised = ({ share, of, batches }: { share: number; of: number; batches: readonly string[] }) =>
    label.raised(quantity(100 * share, "%", 3), number(of), list(batches.map((id) => nameOf(`batches/${id}`))));
  const yes = (name: string, value: boolean | undefined): Fact => ({
    label: name,
    text: value === undefined ? undefined : value ? words.yes : words.no,
  });
  const bare = { figures: {}, sums: [] };
  return {
    feeds: {
      kind: "feed",
      title: words.nav.feeds,
      intro: words.lists.feeds,
      columns: [label.for, label.ec, label.water],
      items: book.feeds.map((feed) => ({
        ...feed,
        title: feed.name,
        facts: [
          { label: label.for, text: feed.for },
          { label: label.ec, text: feed.figures.ec?.text },
          ref(label.water, "waters", feed.water),
          day(words.recipe.approved, feed.approved),
          { label: words.recipe.replaces, text: feed.supersedes },
        ],
      })),
    },
    gear: {
      kind: "gear",
      title: words.nav.gear,
      intro: words.lists.gear,
      columns: [label.place, label.isolate, label.serviceDue],
      items: book.gear.map((gear) => ({
        ...gear,
        title: gear.name,
        group: words.gear[gear.kind] ?? gear.kind,
        facts: [
          { label: label.place, text: gear.place },
          { label: label.isolate, text: gear.isolate },
          { label: label.wilt, text: gear.wilt },
          day(label.serviced, gear.serviced),
          day(label.serviceDue, gear.due),
          ref(label.feed, "feeds", gear.feed),
        ].filter(({ text }) => text !== undefined),
      })),
    },
    orders: {
      kind: "order",
      title: words.nav.orders,
      intro: words.lists.orders,
      columns: [label.amount, label.from, label.days],
      items: book.orders.map((order) => ({
        ...order,
        figures: {},
        title: `${nameOf(order.crop)}, ${words.orders[order.kind] ?? order.kind}`,
        facts: [
          crop(order.crop),
          { label: label.amount, text: order.amount },
          day(label.from, order.from),
          ...(order.to === undefined ? [] : [day(label.to, order.to)]),
          ...(order.days === undefined ? [] : [{ label: label.days, text: list(order.days) }]),
          ...(order.lot === undefined ? [] : [ref(label.lot, "lots", order.lot)]),
        ],
      })),
    },
    batches: {
      kind: "batch",
      title: words.nav.batches,
      intro: words.lists.batches,
      columns: [label.crop, label.sown, label.stage, label.cells],
      items: book.batches
        .toSorted((a, b) => (a.sown < b.sown ? 1 : -1))
        .map((batch) => ({
          ...bare,
          ...batch,
          title: batch.code,
          group: batch.closed === undefined ? label.open : label.closed,
          facts: [
            crop(batch.crop),
            day(label.sown, batch.sown),
            {
              label: label.stage,
              text:
                batch.closed === undefined
                  ? `${placeOf(batch.moves, today)}, ${words.crop.day(daysBetween(batch.sown, today))}`
                  : words.list.closed,
            },
            { label: label.cells, text: number(batch.cells) },
            { label: label.seeds, text: batch.seeds === undefined ? undefined : number(batch.seeds) },
            ref(label.lot, "lots", batch.lot),
            ...(batch.order === undefined ? [] : [ref(label.forOrder, "orders", batch.order)]),
            ...(batch.tray === undefined ? [] : [ref(label.tray, "gear", batch.tray)]),
            {
              label: label.counted,
              text: batch.counted && `${label.testOf(batch.counted.up, batch.cells)}, ${date(batch.counted.on)}`,
            },
            ...Object.entries(batch.moves ?? {}).map(([to, { on, plants }]) => ({
              label: words.stages[to as keyof typeof words.stages] ?? to,
              text: `${date(on)}, ${number(plants)}`,
            })),
            ...Object.entries(batch.losses ?? {}).map(([why, count]) => ({
              label: label.losses,
              text: `${number(count)}, ${why}`,
            })),
            ...Object.entries(batch.cuts ?? {}).map(([on, grams]) => ({
              label: label.cuts,
              text: `${quantity(grams, "g")}, ${date(on)}`,
            })),
            ...(batch.closed === undefined ? [] : [day(label.closed, batch.closed)]),
          ],
        })),
    },
    lots: {
      kind: "lot",
      title: words.nav.lots,
      intro: words.lists.lots,
      columns: [label.bought, label.tests, label.food, label.treated],
      items: book.lots.map((lot) => ({
        ...bare,
        ...lot,
        title: [nameOf(lot.crop), lot.cultivar].filter(Boolean).join(", "),
        facts: [
          crop(lot.crop),
          day(label.bought, lot.bought),
          { label: label.packed, text: lot.packed === undefined ? undefined : String(lot.packed) },
          {
            label: label.tests,
            text:
              lot.tests &&
              Object.entries(lot.tests)
                .map(([on, { up, sown }]) => `${label.testOf(up, sown)} (${date(on)})`)
                .join("; "),
          },
          ...(lot.cameUp === undefined ? [] : [{ label: label.cameUp, text: raised(lot.cameUp) }]),
          ...(lot.usable === undefined ? [] : [{ label: label.fitToUse, text: raised(lot.usable) }]),
          yes(label.food, lot.food),
          yes(label.treated, lot.treated),
          ...(lot.treatment === undefined ? [] : [{ label: label.treatment, text: lot.treatment }]),
          { label: label.store, text: lot.store },
        ],
      })),
    },
    salts: {
      kind: "salt",
      title: words.nav.salts,
      intro: words.lists.salts,
      columns: [label.tub, label.onHand, label.place, label.hazard],
      items: book.salts.map((salt) => ({
        ...bare,
        ...salt,
        title: salt.name,
        facts: [
          { label: label.tub, text: salt.tub },
          { label: label.hazard, text: salt.hazard },
          { label: label.formula, text: salt.formula },
          { label: label.onHand, text: salt.stock === undefined ? undefined : quantity(salt.stock, "kg") },
          { label: label.orderAt, text: salt.reorder === undefined ? undefined : quantity(salt.reorder, "kg") },
          ...(salt.counted === undefined ? [] : [day(label.countedOn, salt.counted)]),
          ...(salt.lead === undefined ? [] : [{ label: label.lead, text: quantity(salt.lead, "days") }]),
          { label: label.place, text: salt.place },
          day(label.opened, salt.opened),
        ],
      })),
    },
    waters: {
      kind: "water",
      title: words.nav.waters,
      intro: words.lists.waters,
      columns: [label.from, label.sampled, label.due, label.safe],
      items: book.waters.map((water) => ({
        ...bare,
        ...water,
        title: water.name,
        facts: [
          { label: label.from, text: words.waters[water.from] },
          day(label.sampled, water.sampled),
          { label: label.method, text: water.method },
          { label: label.microbes, text: water.microbes },
          day(label.due, water.due),
          yes(label.safe, water.safe),
        ],
      })),
    },
    trials: {
      kind: "trial",
      title: words.nav.trials,
      intro: words.lists.trials,
      columns: [label.crop, label.started, label.decision],
      items: book.trials.map((trial) => ({
        ...bare,
        ...trial,
        title: trial.question,
        facts: [
          crop(trial.crop),
          { label: label.decision, text: trial.decision ?? label.noDecision },
          { label: label.worthwhile, text: trial.worthwhile },
          { label: label.measure, text: trial.measure },
          { label: label.through, text: label.reach[trial.through] },
          ...(trial.through === "feed"
            ? [{ label: label.units, text: trial.isolated === undefined ? undefined : number(trial.isolated) }]
            : []),
          day(label.started, trial.started),
          day(label.stop, trial.stop),
        ],
      })),
    },
  };
}
