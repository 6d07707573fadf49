import fc from "fast-check";

/** Numbers of everyday size: neither finer than a billionth nor 0 by a hair. */
const between = (min: number, max: number) =>
  fc.double({ min, max, noNaN: true }).map((value) => (Math.abs(value) < 1e-9 ? 0 : value));
const above0 = (max: number) => between(1e-6, max);
const opt = <Value>(value: fc.Arbitrary<Value>) => fc.option(value, { nil: undefined });
const whole = (min: number, max: number) => fc.integer({ min, max });
const band = (max: number) => fc.tuple(between(0, max), between(0, max)).map((ends) => ends.sort((a, b) => a - b));
const both = <Value extends object>(pair: fc.Arbitrary<Value>) => fc.option(pair, { nil: {} });

const elements = ["NO3N", "NH4N", "P", "K", "Ca", "Mg", "S", "Na", "Cl", "HCO3"] as const;
const loads = fc.record(Object.fromEntries(elements.map((name) => [name, opt(between(0, 2000))])));
const tub = loads.map((given) => ({
  Ca: 10,
  ...Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined)),
}));

const face = fc.constantFrom("N", "E", "S", "W");
const faces = (max: number) =>
  fc.record({ N: opt(between(0, max)), E: opt(between(0, max)), S: between(0, max), W: between(0, max) });
const tower = fc.record({
  tiers: whole(2, 8),
  bottomHeightM: between(0, 3),
  pitchCm: between(0.5, 100),
  latitude: between(-90, 90),
  topLight: between(0, 70),
  lowestLightShare: between(0, 1),
  faceLight: opt(faces(2)),
  moistureBottom: between(0, 1),
  moistureTop: between(0, 1),
  indoors: fc.boolean(),
  handPollination: fc.boolean(),
  roofM: opt(above0(5)),
  lampClearanceCm: between(0, 200),
  portLimitKg: between(0.5, 5),
  tierLimitKg: between(1, 20),
  measuredLight: opt(faces(70).map((light) => ({ "1": light, "2": light }))),
});
const crop = (id: string) =>
  fc
    .record({
      massKg: above0(3),
      heightCm: between(0, 300),
      trailCm: opt(between(0, 100)),
      dliNeed: above0(70),
      more: between(0, 30),
      moisture: between(0, 1),
      root: whole(1, 3),
      picksPerWeek: between(0, 14),
      pollination: opt(fc.constantFrom("none", "insect", "shake")),
    })
    .map(({ more, ...rest }) => ({ id, ...rest, dliMax: Math.min(70, rest.dliNeed + more) }));
const crops = (least: number, most: number, fields: Record<string, fc.Arbitrary<unknown>>) =>
  whole(least, most)
    .chain((length) => fc.tuple(...Array.from({ length }, (_, at) => fc.tuple(crop(`crop ${at}`), fc.record(fields)))))
    .map((pairs) => pairs.map(([one, more]) => ({ ...one, ...more })));

/** By worksheet: inputs within their bounds, blanks included. */
export const inBounds: Readonly<Record<string, fc.Arbitrary<object>>> = {
  "injector-setting": fc.record({
    ecWater: between(0, 5),
    ecLine: between(0, 10),
    settingPercent: above0(10),
    ecTarget: between(0, 10),
    minPercent: opt(between(0.01, 1)),
    maxPercent: opt(between(1, 10)),
  }),
  "ratio-wording": fc.record({
    ratio: fc.oneof(
      whole(2, 1000).map((water) => `1:${water}`),
      whole(2, 1000).map((water) => `${water} : 1`),
      whole(1, 99).map((percent) => `${percent} %`),
    ),
    means: opt(fc.constantFrom("to", "in")),
    heads: opt(whole(1, 4)),
  }),
  "flow-window": fc
    .record({
      towers: whole(1, 1000),
      litresPerTowerDay: above0(200),
      minFlow: above0(100),
      over: opt(above0(1000)),
      peakFactor: opt(between(1, 10)),
      header: both(fc.record({ refillFlow: above0(1000), drawdownLitres: above0(1000) })),
    })
    .map(({ over, header, ...rest }) => ({ ...rest, ...header, ...(over ? { maxFlow: rest.minFlow + over } : {}) })),
  "catch-test": fc.record({
    mlDrawn: between(0, 5000),
    litresWater: above0(500),
    dialPercent: above0(10),
    mlDrawnB: opt(between(0, 5000)),
  }),
  "one-head": fc.record({
    tubA: tub,
    tubB: tub,
    water: opt(loads),
    head: fc.constantFrom("A", "B"),
    percentOfSet: between(0, 300),
  }),
  "tub-days-left": fc
    .record({
      tubLitres: between(0, 1000),
      feedLitresPerDay: above0(1e5),
      ratioPercent: opt(above0(10)),
      keepWeeks: opt(above0(12)),
      drops: both(fc.record({ dropA: between(0, 100), dropB: between(0, 100) })),
    })
    .map(({ drops, ...rest }) => ({ ...rest, ...drops })),
  "base-drift": fc
    .record({
      baseLitres: above0(500),
      litresPerDay: above0(500),
      feedLevel: between(0, 1000),
      nowLevel: between(0, 1000),
      limit: between(0, 1000),
      limitKind: opt(fc.constantFrom("upper", "lower")),
      uptake: fc.oneof(
        fc.record({ uptakeLevel: between(0, 1000) }),
        fc.record({ previousLevel: between(0, 1000), daysBetween: above0(100) }),
      ),
    })
    .map(({ uptake, ...rest }) => ({ ...rest, ...uptake })),
  "base-drain": fc.record({
    baseLitres: above0(500),
    nowLevel: between(0, 1000),
    wantLevel: between(0, 1000),
    freshLevel: between(0, 1000),
    litresPerDay: opt(above0(500)),
    uptakeRatio: opt(above0(1.5)),
  }),
  "rain-dilution": fc.record({
    baseLitres: above0(500),
    level: between(0, 10),
    rainMm: between(0, 500),
    catchM2: opt(above0(10)),
    rainLevel: opt(between(0, 5)),
    freeLitres: opt(between(0, 500)),
  }),
  "water-use": fc.record({
    ports: fc.record({ seedling: opt(whole(0, 1000)), leaf: whole(1, 1000), fruiting: opt(whole(0, 1000)) }),
    litresPerPort: opt(fc.record({ seedling: opt(between(0, 5)), leaf: opt(between(0, 5)) })),
    vpd: opt(between(0, 10)),
    usableLitres: opt(between(0, 1000)),
  }),
  "pump-head": fc
    .record({
      liftM: between(0, 100),
      frictionM: opt(between(0, 100)),
      nozzleBar: opt(between(0, 20)),
      pumpMaxHeadM: opt(above0(300)),
      filter: both(fc.record({ filterMicron: above0(1000), nozzleMicron: above0(1000) })),
      mist: both(fc.record({ onSeconds: above0(600), offSeconds: between(0, 6000) })),
      longestSafeOffSeconds: opt(above0(6000)),
      alarm: opt(fc.boolean()),
    })
    .map(({ filter, mist, ...rest }) => ({ ...rest, ...filter, ...mist })),
  "meter-check": fc.record({
    readHigh: between(-1000, 1000),
    readLow: between(-1000, 1000),
    readIn: opt(fc.constantFrom("mV", "pH")),
    temperature: opt(between(0, 50)),
    ecRead: opt(between(0, 20)),
    openDays: opt(whole(0, 5000)),
  }),
  "line-match": fc.record({
    crops: fc.uniqueArray(
      fc.record({
        id: fc.constantFrom(..."abcdefghijkl"),
        ec: opt(band(10)),
        ph: opt(band(14)),
        ecTolerated: opt(band(10)),
        phTolerated: opt(band(14)),
      }),
      { minLength: 1, maxLength: 12, selector: ({ id }) => id },
    ),
  }),
  "tower-port-score": fc.record({ crop: crop("leaf"), tier: whole(1, 2), face, tower: opt(tower) }),
  "tower-layout": fc.record({
    crops: crops(1, 4, { count: whole(0, 6) }),
    tower: opt(tower),
    pins: opt(fc.array(fc.record({ crop: fc.constant("crop 0"), tier: whole(1, 2), face }), { maxLength: 2 })),
  }),
  "gust-check": fc.record({
    gust: between(0, 60),
    baseLitres: between(0, 500),
    plantsKg: between(0, 200),
    baseKg: opt(between(0, 200)),
    columnKg: opt(between(0, 200)),
    baseRadius: opt(above0(2)),
    sideArea: opt(above0(10)),
    centreHeight: opt(above0(5)),
    drag: opt(above0(3)),
    baseCapacity: opt(above0(500)),
    tied: opt(fc.boolean()),
  }),
};
