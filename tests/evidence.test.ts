import { fileURLToPath } from "node:url";
import { jStat } from "jstat";
import { describe, expect, it } from "vitest";
import { readTrial, type TrialReading } from "../generator/evidence.ts";
import { load } from "../generator/node.ts";
import { blocks, trial, yardOf } from "./trials.ts";

const demo = (await load(fileURLToPath(new URL("../content", import.meta.url)))).library!;
const later = { started: "2026-08-24", stop: "2026-11-30", repeats: "[one]" };
const four = blocks(1.9, 2.4, 2.1, 2.6);

/** The reading of the second of two runs. */
function second(of: { one?: string; two?: string; more?: Readonly<Record<string, string>> }): TrialReading {
  const { one = trial(four), two = four, more = {} } = of;
  return readTrial(yardOf({ "trials/one.md": one, "trials/two.md": trial(two, { ...later, ...more }) }), "two");
}

function alone(text: string, more: Readonly<Record<string, string>> = {}): TrialReading {
  return readTrial(yardOf({ "trials/one.md": trial(text, more) }), "one");
}

describe("the spring trial of violas", () => {
  const reading = readTrial(demo, "viola-plates");

  it("has the figures of the worked example: 9.3−7.0, 11.0−8.3, 8.7−7.7, 10.7−8.0, mean 2.18, 0.89 to 3.46", () => {
    const { answer } = reading.comparison!.outcome;
    expect((answer.differences as number[]).map((value) => value.toFixed(2))).toEqual(["2.30", "2.70", "1.00", "2.70"]);
    expect(answer.meanDifference).toBeCloseTo(2.175, 10);
    expect(answer.low).toBeCloseTo(0.89, 2);
    expect(answer.high).toBeCloseTo(3.46, 2);
    expect(answer.signFlipP).toBe(0.125);
    expect(reading.words).toBe("Better; size not settled");
  });

  it("is provisional by rule: one run, and four blocks", () => {
    expect(reading.standing).toBe("provisional");
    expect(reading.because).toEqual([
      "It is one run. A record changes after two that agree, each sown on another date.",
      "With 4 blocks the interval leans on a normal shape of the differences: provisional by rule.",
    ]);
    expect(reading.together).toBeUndefined();
  });

  it("would stand beside the record as what A gave, in the style of the record, with one decimal as it was counted", () => {
    expect(reading.proposal).toEqual({
      crop: "viola",
      path: "cutting.pieces",
      was: "10–30 /week",
      now: "8.7–11.0 /week",
      treatment: "A",
      n: { runs: 1, blocks: 4, plants: 12 },
      low: 7.6,
      high: 12,
      mean: expect.closeTo(9.925, 10),
      from: ["viola-plates"],
    });
  });

  it("tells losses first, then the size with its interval", () => {
    expect(reading.lines[0]).toMatch(/^Losses: A 0 of 12, 0 to 24.%; B 0 of 12/);
    expect(reading.lines[1]).toBe(
      "A is 2.18 above B, 28 % of it; 95 % interval of the difference 0.893 to 3.46 (4 blocks).",
    );
  });
});

describe("the autumn trial of violas", () => {
  const reading = readTrial(demo, "viola-plates-autumn");

  it("reads the file beside it: 18 started of each, one of A dead with its reason", () => {
    const [a, b] = reading.groups;
    expect(a).toMatchObject({ treatment: "A", control: false, started: 18, died: 1, measured: 17 });
    expect(b).toMatchObject({ treatment: "B", control: true, started: 18, died: 0, measured: 18 });
    expect(a!.deaths).toEqual([{ block: "tower-8", plants: 1, reason: "Vine weevil grub in the plug on 22 Sep" }]);
    expect(a!.values["tower-8"]).toEqual([7.4, 8.2, "died"]);
  });

  it("puts both runs together over ten blocks, as another library has the interval", () => {
    const differences = [2.3, 2.7, 1.0, 2.7, 26.6 / 3 - 6.6, 2.5, 1.7, 2.7, 1.9, 2.2];
    const mean = jStat.mean(differences);
    const half = (jStat.studentt.inv(0.975, 9) * jStat.stdev(differences, true)) / Math.sqrt(10);
    const { answer } = reading.together!.comparison.outcome;
    expect(answer.blocks).toBe(10);
    expect(answer.meanDifference).toBeCloseTo(mean, 9);
    expect(answer.low).toBeCloseTo(mean - half, 6);
    expect(answer.high).toBeCloseTo(mean + half, 6);
    expect(reading.together!.runs).toEqual(["viola-plates", "viola-plates-autumn"]);
    expect(reading.together!.words).toBe("Better, by enough to matter");
  });

  it("may change the record: the least and the most block mean, the plants' own range, the mean weighed by plants", () => {
    expect(reading.standing).toBe("change");
    expect(reading.because).toEqual([]);
    expect(reading.proposal).toMatchObject({
      now: "7.8–11.0 /week",
      n: { runs: 2, blocks: 10, plants: 29 },
      low: 7.4,
      high: 12,
      from: ["viola-plates", "viola-plates-autumn"],
    });
    // (12 × 9.925 + 154.4) ÷ 29, 154.4 being the sum of the 17 of autumn.
    expect(reading.proposal!.mean).toBeCloseTo((12 * 9.925 + 154.4) / 29, 9);
  });

  it("rests on what the runs rest on", () => {
    expect(reading.comparison!.basis).toBe("demo");
    expect(reading.comparison!.from.map(({ record, path }) => `${record} ${path}`)).toEqual([
      "trials/viola-plates-autumn blocks",
      "trials/viola-plates-autumn deaths",
    ]);
  });
});

describe("readTrial", () => {
  it("has a trial's own measurements rest on the trial, when no source stands behind them", () => {
    expect(alone(four).comparison!.basis).toBe("own-trial");
  });

  it("does not know a trial that is not there", () => {
    expect(() => readTrial(demo, "viola-plate")).toThrow(RangeError);
  });

  it.each([
    ["Better, by enough to matter", [2, 2.1, 2.2, 2.1]],
    ["Better; size not settled", [0.8, 2.4, 1.5, 2]],
    ["Can't tell yet", [-0.5, 3, 0.5, 2]],
    ["Close enough to call the same", [0.1, -0.2, 0.2, -0.1]],
    ["Worse", [-2, -2.1, -1.9, -2.2]],
    ["Not better by enough to matter", [-2, 0.4, -1.2, -1]],
  ])("says %s", (words, differences) => {
    expect(alone(blocks(...differences)).words).toBe(words);
  });

  it("says beside what it cannot tell that this is no proof of likeness", () => {
    expect(alone(blocks(-0.5, 3, 0.5, 2)).lines).toContain("That is not the same as no difference.");
  });

  it("shows every value and no mean of four plants", () => {
    const reading = alone(
      "{ t-1: { A: [9], B: [7] }, t-2: { A: [11], B: [8] }, t-3: { A: [8], B: [7] }, t-4: { A: [10], B: [8] } }",
    );
    const [a] = reading.groups;
    expect(a).toMatchObject({ measured: 4, median: 9.5, lowest: 8, highest: 11, mean: undefined });
    expect(Object.values(a!.values).flat()).toEqual([9, 11, 8, 10]);
  });

  it("counts those left out among the started and nowhere else", () => {
    const reading = alone(four, {
      excluded: "[{ block: block-1, treatment: A, port: 3N, value: 40, reason: Not an A at all }]",
      deaths: "[{ block: block-2, treatment: B, plants: 2, reason: Slugs }]",
    });
    const [a, b] = reading.groups;
    expect(a).toMatchObject({ started: 13, measured: 12, died: 0, highest: 11.6 });
    expect(b).toMatchObject({ started: 14, measured: 12, died: 2 });
    expect(b!.lost!.percent).toBeCloseTo(100 * (2 / 14), 9);
    expect(reading.lines).toContain("Left out of A: 3N of block-1, not an A at all.");
    expect(reading.lines).toContain("Died of B: 2 in block-2, slugs.");
  });
});

describe("a note and no more", () => {
  it.each<[string, string, Readonly<Record<string, string>>, string, RegExp]>([
    ["three blocks", blocks(2, 2.1, 2.2), {}, "Too few to call", /It has 3 blocks: it takes 4 or more/],
    ["before its day", four, { stop: "2027-04-13" }, "Not to be read yet", /It runs until 13 Apr 2027/],
    [
      "what is spoilt",
      four,
      { spoilt: "A had the sun" },
      "Better, by enough to matter",
      /It is spoilt: A had the sun\./,
    ],
    ["no spread", blocks(2, 2, 2, 2), {}, "Can't tell yet", /Every block shows the same difference/],
    ["a difference without a number", four, { worthwhile: "some more" }, "No answer", /does not begin with a number/],
    [
      "a block where all of one died",
      `${blocks(2, 2.1, 2.2, 2.1).slice(0, -2)}, t-9: { A: [died, died], B: [7, 8] } }`,
      {},
      "Better, by enough to matter",
      /Nothing of A is left to measure in t-9/,
    ],
    ["three treatments", "{ t: { A: [1], B: [2], C: [3] } }", {}, "No answer", /It has 3 treatments, A, C and B/],
    ["nothing", "", { places: "{ t: { 1N: A, 1S: B } }" }, "Nothing was measured", /Nothing is measured yet/],
  ])("is made of %s", (_, text, more, words, why) => {
    const reading = alone(text, more);
    expect(reading.words).toBe(words);
    expect(reading.standing).toBe("note");
    expect(reading.because.join(" ")).toMatch(why);
    expect(reading.proposal).toBeUndefined();
    expect(reading.refusal).toBeUndefined();
  });

  it("is made of winter's plants for summer's figure", () => {
    const stage = { figure: "stages.tray.winter" };
    expect(alone(four, stage).because.join(" ")).toMatch(/grown in summer, and the figure is that of winter/);
    expect(alone(four, { ...stage, started: "2026-10-01", stop: "2026-12-01" }).standing).toBe("provisional");
  });
});

describe("a change", () => {
  it("takes two runs that agree", () => {
    const reading = second({});
    expect(reading.because).toEqual([]);
    expect(reading.standing).toBe("change");
    expect(alone(four).standing).toBe("provisional");
  });

  it.each<[string, Parameters<typeof second>[0], RegExp]>([
    ["the run before is of three blocks", { one: trial(blocks(2, 2.1, 2.2)) }, /one does not count as a run.*3 blocks/],
    [
      "the runs point two ways",
      { one: trial(blocks(-0.3, -0.2, -0.4, -0.1)), two: blocks(6, 7, 6, 7, 6, 7) },
      /do not agree: in one B had more; in two A had more/,
    ],
    [
      "together they may be nought",
      { one: trial(blocks(0.1, 9, 0.2, 0.1)), two: blocks(0.1, 0.2, 0.1, 0.3) },
      /the difference may be nought/,
    ],
    [
      "together they fall short",
      { one: trial(blocks(1, 1.2, 0.9, 1.1)), two: blocks(1, 1.3, 1.2, 1) },
      /does not reach the 1\.5/,
    ],
    ["nobody signed", { more: { signed: "" } }, /Nobody has signed/],
    ["the run before was of others", { one: trial(four.replaceAll("A:", "C:")) }, /compared C and B/],
    [
      "the run before spoke of another figure",
      { one: trial(four, { figure: "cutting.bunch" }) },
      /speaks of `cutting\.bunch`/,
    ],
    [
      "more die by over ten points",
      { more: { deaths: "[{ block: block-1, treatment: A, plants: 4, reason: Rot }]" } },
      /A lost 14 % and B 0 %/,
    ],
  ])("is held back when %s", (_, runs, why) => {
    const reading = second(runs);
    expect(reading.standing).toBe("provisional");
    expect(reading.because.join(" ")).toMatch(why);
  });

  it("is held back by losses that are worse by Fisher's test, though they are not ten points more", () => {
    // 8 of 128 against 0 of 120: 6 points, and all that died by lot on one side.
    const many = (died: number) =>
      `{ ${[2, 2.1, 2.3, 2.2].map((by, index) => `b-${index}: { A: [${[...Array(15).fill(8 + by), ...(index === 0 ? Array(died).fill("died") : [])].join(", ")}], B: [${Array(15).fill(8).join(", ")}] }`).join(", ")} }`;
    const held = second({ one: trial(many(4)), two: many(4) });
    expect(held.standing).toBe("provisional");
    expect(held.because.join(" ")).toMatch(/A lost 6\.3 % and B 0 % \(chance of that, were they alike, 0\.007/);
    expect(second({ one: trial(many(0)), two: many(0) }).standing).toBe("change");
  });

  it("writes the pooled mean into a field of one figure", () => {
    const one = trial(blocks(20, 21, 22, 21), { figure: "cutting.bunch" });
    const reading = second({ one, two: blocks(24, 25, 26, 25), more: { figure: "cutting.bunch" } });
    expect(reading.proposal).toMatchObject({ was: "25 g", now: "31 g", mean: 31 });
  });

  it("goes by the treatments, whichever of them was done when a run was made", () => {
    expect(second({ one: trial(four, { control: "A" }) }).standing).toBe("change");
  });

  it("is of what is done now, where the other is worse", () => {
    const worse = blocks(-2, -2.2, -2.1, -1.9);
    const reading = second({ one: trial(worse), two: worse });
    expect(reading.standing).toBe("change");
    expect(reading.proposal!.treatment).toBe("B");
  });
});

describe("false replication", () => {
  it("is refused for the demo's one tower against one, with no interval and no chance, and with an offer in numbers", () => {
    const reading = readTrial(demo, "basil-more-feed");
    expect(reading).toMatchObject({
      unit: "tower",
      comparison: undefined,
      losses: undefined,
      together: undefined,
      proposal: undefined,
      standing: "note",
      words: "No answer",
    });
    expect(reading.refusal!.why).toMatch(
      /tower-3 had extra, 20 plants, tower-4 had plain, 20 plants.*It takes 8 towers/,
    );
    expect(reading.refusal!.offer).toMatch(
      /8 towers off the line and feed each from its own bucket: 4 pairs.*4 have each, by lot/,
    );
    expect(reading.groups.map(({ mean, lost }) => [mean, lost])).toEqual([
      [undefined, undefined],
      [undefined, undefined],
    ]);
    expect(reading.groups[0]!.values["tower-3"]).toHaveLength(20);
    expect(JSON.stringify(reading.lines)).not.toMatch(/interval|chance/);
  });

  it("is refused for towers that hold one treatment each, though the plants are what was treated", () => {
    const reading = alone("{ tower-1: { A: [9, 10] }, tower-2: { B: [7, 8] }, tower-3: { A: [9, 9] } }");
    expect(reading.refusal!.why).toMatch(/tower-1 and tower-3 had A, 4 plants, tower-2 had B, 2 plants.*n = 1 of each/);
    expect(reading.refusal!.offer).toMatch(
      /^Take 4 towers as blocks, and in each 3 plants of A and 3 of B.*12 plants of each/,
    );
    expect(reading.comparison).toBeUndefined();
  });

  it("is refused for one block", () => {
    expect(alone(blocks(2)).refusal!.why).toMatch(/one block, block-1: one pair is n = 1/);
  });

  it("is no matter where pairs of towers were fed apart", () => {
    const fed = { through: "feed", isolated: "8" };
    const reading = alone(four, fed);
    expect(reading).toMatchObject({ unit: "tower", refusal: undefined, standing: "provisional", losses: undefined });
    // Twelve plants, but four towers: too few for a mean.
    expect(reading.groups[0]).toMatchObject({ measured: 12, mean: undefined, lost: undefined });
    expect(alone(four, { ...fed, isolated: "7" }).refusal!.why).toMatch(
      /It takes 8 towers, each fed apart, and there were 7/,
    );
    expect(alone(four, { through: "feed" }).refusal!.why).toMatch(/there were 0/);
  });
});
