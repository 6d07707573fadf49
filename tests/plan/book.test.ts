import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import type { Library } from "../../generator/library.ts";
import { load } from "../../generator/node.ts";
import { dayNumber, weekdayOf } from "../../generator/science/calendar.ts";
import { bodyOf, checkCharacter } from "../../generator/science/labels.ts";
import { loadSearch } from "../../generator/search.ts";
import { allSums } from "../../generator/sums.ts";
import { doingsOf } from "../../generator/supply/doings.ts";
import { type BookPlan, bookPlan } from "../../generator/supply/planned.ts";
import { batchCodes, sowingCodes, sowingWeeks } from "../../generator/supply/sowing.ts";

let library: Library;
let plan: BookPlan;
beforeAll(async () => {
  library = (await load(fileURLToPath(new URL("../../content", import.meta.url)))).library!;
  plan = bookPlan(library, await loadSearch());
});

describe("the plan of the demo book", () => {
  it("has one clash of 6 to 15 ports, a few weeks ahead, and says what stands there", () => {
    expect(plan.clashes).toHaveLength(1);
    const [{ place, on, by, most, why, instead }] = plan.clashes as [BookPlan["clashes"][number]];
    expect(place).toBe("line-main");
    expect(dayNumber(on) - dayNumber(plan.today)).toBeGreaterThanOrEqual(14);
    expect(by).toBeGreaterThanOrEqual(6);
    expect(most).toBeLessThanOrEqual(15);
    expect(why).toContain("the main line ports");
    expect(instead).toContain("Smallest of them: VIO-27025-01-5");
  });
  it("keeps every promise but two: one is too late, and one has no room", () => {
    expect(plan.shortfalls.map(({ order, reason }) => [order, "why" in reason ? reason.why : reason.gap])).toEqual([
      ["rocket-fete", "late"],
      ["coriander-feast", "no-room"],
    ]);
    const [late, full] = plan.shortfalls;
    // Rocket takes 4 + 11 + 5 + 20 days: sown on Mon 12 Apr it is ready on Sat 22 May, 15 days after Fri 7 May.
    expect(late!.why).toBe(
      "Sown today it is ready on Sat 22 May 2027 at the earliest, 15 days late.".replace("15 days", "15\u202fdays"),
    );
    expect(late!.instead).toContain("ROC-27077-01-6, 68 plants, ready 27 Apr 2027");
    // Coriander is planted 8 + 14 + 5 days after Mon 12 Apr: on Sun 9 May.
    expect(full!.why).toContain("The main line ports are full on Sun 9 May 2027");
    expect(full!.instead).toContain("The same finds room on");
  });
  it("meets the wedding from a batch in hand: 1200 g ÷ (32 g × 0.92) is 41 ports", () => {
    expect(plan.kept.filter(({ order }) => order === "basil-wedding")).toEqual([
      {
        batch: "bas-27039-02",
        order: "basil-wedding",
        of: "ports",
        units: 41,
        from: "2027-05-14",
        until: "2027-05-15",
      },
    ]);
  });
  it("sows on no other day than the yard sows", () => {
    for (const { sown } of plan.sowings) {
      expect(library.book.fields.sow).toContain(weekdayOf(sown));
      expect(library.book.fields.holidays).not.toContain(sown);
    }
  });
  it("rests on nothing better than the demo's own figures wherever it leans on them", () => {
    for (const { basis } of plan.sowings) expect(["common-practice", "memory", "demo"]).toContain(basis);
  });
});

describe("the sums of an order and the plan", () => {
  it("agree in what is sown, and in the day where no batch in hand and no want of room put it elsewhere", () => {
    const sums = [...allSums(library)];
    const compared = { cells: 0, days: 0 };
    for (const order of library.orders.values()) {
      const sown = plan.sowings.filter((sowing) => sowing.order === order.id);
      const of = (id: string) =>
        sums.find(([page, { worksheet }]) => page === `orders/${order.id}` && worksheet === id)?.[1];
      const cells = of("cells-to-sow") ?? of("micro-pots");
      const when = of("sow-date");
      for (const sowing of sown.filter(({ units }) => units === cells?.input.need || units === cells?.input.pots)) {
        const answer = cells!.outcome.answer;
        expect(answer.safeCells ?? answer.potsToSow, order.id).toBe(sowing.cells);
        if (answer.trays !== undefined) expect(answer.trays, order.id).toBe(sowing.trays);
        compared.cells++;
      }
      const [first] = sown;
      if (first && first.need === when?.input.need && first.waits <= 3 && first.late === 0) {
        expect(when.outcome.answer.sowDate, order.id).toBe(first.sown);
        compared.days++;
      }
    }
    expect(compared.cells).toBeGreaterThan(10);
    expect(compared.days).toBeGreaterThan(4);
  });
});

describe("what is to be done and the plan", () => {
  it("agree in when a batch moves on or is first cut; what should be over already is late and not moved to today", () => {
    const { list } = doingsOf(library, plan);
    const compared = list.filter(({ what, of }) => of.shelf === "batches" && (what === "move" || what === "first-cut"));
    expect(compared.length).toBeGreaterThan(6);
    for (const { of, until } of compared) {
      const { stages } = plan.batches.find(({ batch }) => batch === of.id)!;
      expect([until, plan.today].toSorted()[1], of.id).toBe(stages[0]!.until);
    }
  });
  it("sow and count the same, within the thirteen weeks that are looked at", () => {
    const { list, until } = doingsOf(library, plan);
    const days = (what: string) => list.filter((one) => one.what === what).map(({ on }) => on);
    expect(days("sow")).toEqual(plan.sowings.map(({ sown }) => sown).filter((sown) => sown <= until));
    expect(days("cannot")).toEqual(["2027-05-07", "2027-06-04"]);
    expect(days("clash")).toEqual(["2027-04-26"]);
  });
  it("name for every cut, parcel and pot that is owed the batch or the sowing that it comes from", () => {
    const owed = doingsOf(library, plan).list.filter(({ what }) => ["cut", "hand", "post"].includes(what));
    expect(owed.length).toBeGreaterThan(40);
    for (const { of, on, says } of owed) expect(says.by?.length ?? 0, `${of.id} ${on}`).toBeGreaterThan(0);
  });
});

describe("the codes of the trays to be sown", () => {
  it("are one a tray, each only once, with their check characters, and none that a batch has", () => {
    const codes = plan.sowings.flatMap(({ codes }) => codes);
    expect(codes.length).toBe(plan.sowings.reduce((sum, { trays }) => sum + (trays ?? 1), 0));
    const had = [...library.batches.values()].flatMap((batch) => batchCodes(library, batch));
    expect(new Set([...codes, ...had]).size).toBe(codes.length + had.length);
    for (const code of codes) expect(code.at(-1)).toBe(checkCharacter(bodyOf(code.slice(0, -2))));
  });
  it("go on after those of a batch that was sown on the same day", () => {
    // KAL-27084-01 is on record as sown on 25 March, day 84, in one tray.
    const sown = { crop: "kale-curly", sown: "2027-03-25", trays: 2 } as const;
    const [first, second] = sowingCodes(library, [sown, { ...sown, trays: 1 }]);
    expect([...first!, ...second!].map((code) => code.slice(0, -2))).toEqual([
      "KAL-27084-02",
      "KAL-27084-03",
      "KAL-27084-04",
    ]);
  });
});

describe("sowingWeeks(plan)", () => {
  it("has the week of the plan's first day, the twelve after it, and any other with a sowing", () => {
    const sowing = { ...plan.sowings[0]!, week: "2027-W35" };
    const weeks = sowingWeeks({ today: "2027-04-12", sowings: [sowing] });
    expect(weeks.map(({ week }) => week)).toEqual([
      ...Array.from({ length: 13 }, (_, later) => `2027-W${15 + later}`),
      "2027-W35",
    ]);
    expect(weeks[0]!.days).toEqual([12, 13, 14, 15, 16, 17, 18].map((day) => `2027-04-${day}`));
  });
});
