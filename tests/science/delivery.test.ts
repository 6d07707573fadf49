import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { standardMethods } from "../../generator/science/conductivity.ts";
import {
  daysToLimit,
  deviation,
  doseStrength,
  drainFraction,
  drawnPercent,
  drift,
  lineEc,
  lineWith,
  middayFlow,
  mixed,
  nozzleWithin,
  pumpHead,
  responseTime,
  settingFor,
  shareAddedTo,
  uptakeFrom,
  weatherFactor,
} from "../../generator/science/delivery.ts";
import { electrodeOffset, electrodeSlope, nernstPotential, nernstSlope } from "../../generator/science/electrode.ts";

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** Agreement to half of the last printed digit. */
const printed = (actual: number | undefined, wanted: number, decimals: number) =>
  expect(Math.abs(actual! - wanted)).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-12);

describe("the injector's setting", () => {
  const strength = doseStrength({ ecWater: 0.1, ecLine: 1.55, setting: 1 });

  it("worked by hand: water 0.10 and line 1.55 at 1 % make 1.45 mS/cm for 1 %", () => printed(strength, 1.45, 2));

  it("worked by hand: EC 2.2 takes 1.448 %, EC 3.4 takes 2.276 %, EC 0.30 takes 0.138 %", () => {
    printed(settingFor({ ecWater: 0.1, ecTarget: 2.2, strength }), 1.448, 3);
    printed(settingFor({ ecWater: 0.1, ecTarget: 3.4, strength }), 2.276, 3);
    printed(settingFor({ ecWater: 0.1, ecTarget: 0.3, strength }), 0.138, 3);
  });

  it("worked by hand: from 0.2 to 2 % it reaches 0.39 to 3.00 mS/cm", () => {
    printed(lineEc({ ecWater: 0.1, strength, setting: 0.2 }), 0.39, 2);
    printed(lineEc({ ecWater: 0.1, strength, setting: 2 }), 3.0, 2);
  });

  it("and the EC of a setting are inverse", () => {
    fc.assert(
      fc.property(between(0, 5), between(0.01, 10), between(0.01, 10), (ecWater, slope, setting) => {
        const ecTarget = lineEc({ ecWater, strength: slope, setting });
        expect(settingFor({ ecWater, ecTarget, strength: slope })).toBeCloseTo(setting, 6);
      }),
    );
  });
});

describe("shareAddedTo", () => {
  it("worked by hand: 1 to 100 with two heads is 0.980 %, 2 % weak", () => {
    printed(100 * shareAddedTo(0.01, 2), 0.98, 3);
    printed(100 * (1 - shareAddedTo(0.01, 2) / 0.01), 2, 0);
  });

  it("1 part in 50, as FS-1121 words it, is 1 part to 49 of water", () => {
    expect(shareAddedTo(1 / 49, 1)).toBeCloseTo(1 / 50, 12);
  });

  it("never reaches the share that it would be as parts in the feed", () => {
    fc.assert(
      fc.property(between(1e-6, 0.99), fc.integer({ min: 1, max: 4 }), (ratio, heads) => {
        expect(shareAddedTo(ratio, heads)).toBeLessThan(ratio);
      }),
    );
  });
});

describe("drawnPercent", () => {
  it("worked by hand: 905 mL in 96 L is 0.943 %, 5.7 % low", () => {
    printed(drawnPercent(905, 96), 0.943, 3);
    printed(deviation(drawnPercent(905, 96), 1), -5.7, 1);
  });

  it("has no deviation from nothing", () => expect(deviation(1, 0)).toBeUndefined());
});

describe("lineWith", () => {
  // Calcium nitrate 668.42 g/m³ in A; 176.21 monopotassium phosphate, 362.24 magnesium sulphate, 338.65 potassium
  // nitrate and 22.61 potassium sulphate in B, by the shelf table's fractions, on rain water. Worked by hand.
  const tubA = { NO3N: 668.42 * 0.144, NH4N: 668.42 * 0.011, Ca: 668.42 * 0.19 };
  const tubB = {
    NO3N: 338.65 * 0.137,
    P: 176.21 * 0.227,
    K: 176.21 * 0.282 + 338.65 * 0.384 + 22.61 * 0.432,
    Mg: 362.24 * 0.098,
    S: 362.24 * 0.13 + 22.61 * 0.18,
  };
  const water = { Ca: 3, Na: 4, Cl: 6, HCO3: 12 };
  const set = lineWith({ water, tubA, tubB }, "A", 1);
  const more = lineWith({ water, tubA, tubB }, "A", 1.2);

  it("worked by hand: a fifth more of A takes Ca from 130 to 155, N from 150 to 171, K:Ca from 1.46 to 1.22", () => {
    printed(set.Ca, 130, 0);
    printed(more.Ca, 155, 0);
    printed(set.NO3N! + set.NH4N!, 150, 0);
    printed(more.NO3N! + more.NH4N!, 171, 0);
    printed(set.K! / set.Ca!, 1.46, 2);
    printed(more.K! / more.Ca!, 1.22, 2);
  });

  it("worked by hand: and the meter shows 1.51 going to 1.63 only", () => {
    printed(standardMethods(set), 1.51, 2);
    printed(standardMethods(more), 1.63, 2);
  });

  it("leaves the other tub's elements alone, and blocked gives none of its own", () => {
    const blocked = lineWith({ water, tubA, tubB }, "A", 0);
    expect(blocked).toMatchObject({ K: set.K, P: set.P, Mg: set.Mg, S: set.S });
    expect(blocked.Ca).toBe(3);
  });

  it("is linear in what the head gives", () => {
    fc.assert(
      fc.property(between(0, 3), (share) => {
        const now = lineWith({ water, tubA, tubB }, "B", share);
        expect(now.K).toBeCloseTo(share * tubB.K, 9);
      }),
    );
  });

  it("leaves blank what was measured nowhere", () => {
    expect(lineWith({ water: {}, tubA: { Ca: 1 }, tubB: { K: 1 } }, "A", 1)).toEqual({ Ca: 1, K: 1 });
  });
});

describe("drift", () => {
  it("worked by hand: sodium 24 in the feed and 5 taken up rises 2.375 mg/L a day, 32 days from 24 to 100", () => {
    const change = drift({ volume: 40, drunk: 5, feed: 24, uptake: 5 });
    printed(change, 2.375, 3);
    printed(daysToLimit({ now: 24, limit: 100, kind: "upper", change }), 32, 0);
  });

  it("worked by hand: EC 1.4 in and 1.1 taken up rises 0.0375 a day, 16 days from 1.4 to 2.0", () => {
    const change = drift({ volume: 40, drunk: 5, feed: 1.4, uptake: 1.1 });
    printed(change, 0.0375, 4);
    printed(daysToLimit({ now: 1.4, limit: 2, kind: "upper", change }), 16, 0);
  });

  it("conserves mass: what comes in less what is taken up stays in the base", () => {
    fc.assert(
      fc.property(
        between(1, 500),
        between(0.1, 50),
        between(0, 300),
        between(0, 300),
        (volume, drunk, feed, uptake) => {
          const kept = drift({ volume, drunk, feed, uptake }) * volume;
          expect(kept).toBeCloseTo(drunk * feed - drunk * uptake, 6);
        },
      ),
    );
  });

  it("and uptakeFrom are inverse", () => {
    fc.assert(
      fc.property(between(1, 500), between(0.1, 50), between(0, 300), between(0, 300), between(1, 30), (...given) => {
        const [volume, drunk, feed, uptake, days] = given;
        const now = 100 + days * drift({ volume, drunk, feed, uptake });
        expect(uptakeFrom({ volume, drunk, feed, now, before: 100, days })).toBeCloseTo(uptake, 6);
      }),
    );
  });
});

describe("daysToLimit", () => {
  it("is 0 once the limit is reached, and undefined when the drift leads away or is none", () => {
    expect(daysToLimit({ now: 2, limit: 2, kind: "upper", change: 1 })).toBe(0);
    expect(daysToLimit({ now: 1, limit: 2, kind: "lower", change: 1 })).toBe(0);
    expect(daysToLimit({ now: 1, limit: 2, kind: "upper", change: -1 })).toBeUndefined();
    expect(daysToLimit({ now: 1, limit: 2, kind: "upper", change: 0 })).toBeUndefined();
    expect(daysToLimit({ now: 3, limit: 2, kind: "lower", change: -0.5 })).toBe(2);
  });
});

describe("drainFraction", () => {
  it("worked by hand: from 2.0 to 1.55 with fresh feed at 1.4 is 75 %", () => {
    expect(drainFraction({ now: 2, want: 1.55, fresh: 1.4 })).toBeCloseTo(0.75, 9);
  });

  it("is undefined beyond the fresh feed and beyond the base", () => {
    expect(drainFraction({ now: 2, want: 1.3, fresh: 1.4 })).toBeUndefined();
    expect(drainFraction({ now: 2, want: 2.1, fresh: 1.4 })).toBeUndefined();
    expect(drainFraction({ now: 2, want: 1.9, fresh: 2 })).toBeUndefined();
    expect(drainFraction({ now: 2, want: 2, fresh: 2 })).toBe(0);
  });

  it("gives the level that was wanted when that share is replaced", () => {
    fc.assert(
      fc.property(between(0, 10), between(0, 10), between(0, 1), between(1, 500), (now, fresh, part, volume) => {
        fc.pre(Math.abs(now - fresh) > 1e-3);
        const want = now + part * (fresh - now);
        const fraction = drainFraction({ now, want, fresh })!;
        const after = mixed(
          { volume: volume * (1 - fraction), level: now },
          { volume: volume * fraction, level: fresh },
        );
        expect(after).toBeCloseTo(want, 6);
      }),
    );
  });
});

describe("responseTime", () => {
  it("worked by hand: 40 L, 5 L a day and uptake at 0.8 of the base's level make 10 days", () => {
    expect(responseTime({ volume: 40, drunk: 5, uptakeRatio: 0.8 })).toBe(10);
  });
});

describe("mixed", () => {
  it("worked by hand: 5 L of rain at 0.02 take 40 L at 1.4 to 1.247", () => {
    printed(mixed({ volume: 40, level: 1.4 }, { volume: 5, level: 0.02 }), 1.247, 3);
  });

  it("conserves mass and stays between the two", () => {
    fc.assert(
      fc.property(between(0.1, 500), between(0, 10), between(0.1, 500), between(0, 10), (v, a, w, b) => {
        const level = mixed({ volume: v, level: a }, { volume: w, level: b });
        expect(level * (v + w)).toBeCloseTo(v * a + w * b, 6);
        expect(level).toBeGreaterThanOrEqual(Math.min(a, b) - 1e-9);
        expect(level).toBeLessThanOrEqual(Math.max(a, b) + 1e-9);
      }),
    );
  });
});

describe("drinking", () => {
  it("is at the rule's own dryness unchanged, and held beyond half and double", () => {
    expect(weatherFactor(0.8)).toEqual({ factor: 1, held: false });
    expect(weatherFactor(0.4)).toEqual({ factor: 0.5, held: false });
    expect(weatherFactor(0.1)).toEqual({ factor: 0.5, held: true });
    expect(weatherFactor(3)).toEqual({ factor: 2, held: true });
  });

  it("at midday is twice the mean: 4.8 L a day is 0.4 L/h, so 8 L last 20 h", () => {
    expect(middayFlow(4.8)).toBeCloseTo(0.4, 12);
    expect(8 / middayFlow(4.8)).toBeCloseTo(20, 9);
  });
});

describe("pumpHead", () => {
  it("worked by hand: 2.0 + 0.5 + 1.5 bar at 10.2 m is 17.8 m", () => {
    printed(pumpHead({ lift: 2, friction: 0.5, nozzle: 1.5 }), 17.8, 1);
  });

  it("and the pressure left for the nozzle are inverse, down to none", () => {
    const pump = pumpHead({ lift: 3, friction: 1, nozzle: 2 });
    expect(nozzleWithin({ lift: 3, friction: 1, pump })).toBeCloseTo(2, 12);
    expect(nozzleWithin({ lift: 30, friction: 1, pump })).toBe(0);
  });
});

describe("a pH electrode", () => {
  it("gives 59.16 mV a pH at 25 °C and 58.17 at 20 °C, by the Nernst equation", () => {
    printed(nernstSlope(25), 59.16, 2);
    printed(nernstSlope(20), 58.17, 2);
  });

  it("that is perfect has its whole slope and no offset at any temperature", () => {
    fc.assert(
      fc.property(between(0, 50), (temperature) => {
        const reading = (ph: number) => ({ ph, potential: nernstPotential(ph, temperature) });
        expect(electrodeSlope(reading(7), reading(4.01)) / nernstSlope(temperature)).toBeCloseTo(1, 9);
        expect(electrodeOffset(reading(10.01), reading(7))).toBeCloseTo(0, 6);
      }),
    );
  });

  it("worked by hand: −6 mV in pH 7 and 164 mV in pH 4.01 make 56.86 mV a pH", () => {
    const [high, low] = [
      { ph: 7, potential: -6 },
      { ph: 4.01, potential: 164 },
    ];
    printed(electrodeSlope(high, low), 56.86, 2);
    expect(electrodeOffset(high, low)).toBe(-6);
  });
});
