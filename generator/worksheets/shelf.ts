import { z } from "zod";
import { type Fractions, parts } from "../science/solution.ts";
import { type SolubilityPoint, type Tub, type TubSalt, tubs } from "../science/tubs.ts";
import { amount, choice, each, fault, optional, shown, text } from "./input.ts";

/** A salt as a worksheet uses it: everything known, or undefined where nobody has said. */
export interface ShelfSalt extends TubSalt {
  readonly pricePerKg: number | undefined;
}

/**
 * The salts of the shelf, by id. Shares are of common bag labels and a bag's own label always wins; `solubility` is in g/L
 * at 0, 5, 10 and 20 °C, the working limits of common practice, on the careful side for the hydrates.
 */
export const shelf: ReadonlyMap<string, ShelfSalt> = new Map(
  [
    salt("calcium-nitrate", "A", { NO3N: 0.144, NH4N: 0.011, Ca: 0.19 }, [1000, 1050, 1100, 1200]),
    salt("potassium-nitrate", "B", { NO3N: 0.137, K: 0.384 }, [133, 170, 209, 316]),
    salt("monopotassium-phosphate", "B", { P: 0.227, K: 0.282 }, [148, 165, 183, 226]),
    salt("magnesium-sulphate", "B", { Mg: 0.098, S: 0.13 }, [500, 550, 600, 710]),
    salt("potassium-sulphate", "B", { K: 0.432, S: 0.18 }, [74, 80, 92, 111]),
    salt("magnesium-nitrate", "B", { NO3N: 0.108, Mg: 0.094 }),
    salt("monoammonium-phosphate", "B", { NH4N: 0.12, P: 0.266 }),
  ].map((each) => [each.id, each]),
);

/** A salt as people say it: `potassium-nitrate` is potassium nitrate. */
export function saltName(id: string): string {
  return id.replaceAll("-", " ");
}

/** A salt from the shelf by its id, or one with a label of its own. What is not given comes from the shelf. */
export const saltInput = z
  .preprocess(named, saltObject({}))
  .transform(complete)
  .meta({
    label: "Salt",
    help: `One of ${[...shelf.keys()].join(", ")}; or an object with id and fractions`,
    unit: "",
  });

/** The same, with the grams that a cubic metre of feed takes. */
export const weighedSaltInput = z
  .preprocess(
    named,
    saltObject({ gramsPerM3: amount({ unit: "g/m³", min: 0, label: "Grams in a cubic metre of feed" }) }),
  )
  .transform((given) => ({ ...complete(given), gramsPerM3: given.gramsPerM3 }))
  .meta({ label: "Salt and its grams in a cubic metre of feed", unit: "" });

/** Says at each repeated id that a salt is listed twice. */
export function onceEach(salts: readonly { readonly id: string }[], context: z.RefinementCtx): void {
  for (const [index, { id }] of salts.entries()) {
    if (salts.findIndex((other) => other.id === id) < index) {
      fault(context, [index, "id"], `Unexpected ${shown(id)} a second time, expected each salt once`);
    }
  }
}

function salt(
  id: string,
  tub: Tub,
  fractions: Fractions,
  limits?: readonly [number, number, number, number],
): ShelfSalt {
  const solubility = limits?.map((grams, index): SolubilityPoint => [[0, 5, 10, 20][index]!, grams]);
  return { id, tub, fractions, solubility, pricePerKg: undefined };
}

function named(given: unknown): unknown {
  return typeof given === "string" ? { id: given } : given;
}

function saltObject<Extra extends z.ZodRawShape>(extra: Extra) {
  return z
    .strictObject(
      {
        id: text({ label: "Salt" }).min(1, { error: "Unexpected empty text, expected a salt's name" }),
        fractions: optional(
          each(parts, (part) => optional(amount({ unit: "", min: 0, max: 1, label: `${part}, share of its mass` }))),
        ),
        tub: optional(choice(tubs, { label: "Tub" })),
        solubility: optional(
          z.record(z.string(), amount({ unit: "g/L", above: 0, label: "Dissolves" })).superRefine((points, context) => {
            for (const key of Object.keys(points)) {
              if (key.trim() === "" || !Number.isFinite(Number(key))) {
                fault(context, [key], `Unexpected ${shown(key)}, expected a temperature in °C such as "5"`);
              }
            }
            if (Object.keys(points).length === 0) {
              fault(context, [], 'Unexpected empty object, expected at least one point such as {"5": 170}');
            }
          }),
        ),
        pricePerKg: optional(amount({ unit: "¤/kg", min: 0, label: "Price" })),
        ...extra,
      },
      { error: ({ input }) => `Unexpected ${shown(input)}, expected a salt's name or an object with id and fractions` },
    )
    .superRefine((given, context) => {
      const { id, fractions } = given as { id: string; fractions?: Fractions | undefined };
      if (fractions === undefined && !shelf.has(id)) {
        fault(
          context,
          ["fractions"],
          `Missing for ${shown(id)}, which is not one of ${[...shelf.keys()].join(", ")}; write what its label says`,
        );
      }
      if (fractions && !parts.some((part) => (fractions[part] ?? 0) > 0)) {
        fault(context, ["fractions"], "Unexpected shares that are all 0, expected at least one above 0");
      }
    });
}

interface GivenSalt {
  readonly id: string;
  readonly fractions?: Fractions | undefined;
  readonly tub?: Tub | undefined;
  readonly solubility?: Readonly<Record<string, number>> | undefined;
  readonly pricePerKg?: number | undefined;
}

function complete(given: GivenSalt): ShelfSalt {
  const shelved = shelf.get(given.id);
  const fractions = given.fractions ?? shelved?.fractions ?? {};
  const points =
    given.solubility && Object.entries(given.solubility).map(([key, grams]) => [Number(key), grams] as const);
  return {
    id: given.id,
    fractions,
    tub: given.tub ?? shelved?.tub ?? ((fractions.Ca ?? 0) > 0 || (fractions.Fe ?? 0) > 0 ? "A" : "B"),
    solubility: points?.sort(([a], [b]) => a - b) ?? shelved?.solubility,
    pricePerKg: given.pricePerKg,
  };
}
