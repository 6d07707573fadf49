/** A number that remembers its unit while compiling and is a plain number while running. */
export type In<Unit extends string> = number & { readonly unit?: Unit };

/** A low end and a high end in one unit; a single figure has both ends equal. */
export interface Span<Unit extends string = string> {
  readonly low: In<Unit>;
  readonly high: In<Unit>;
}

export type MgPerL = In<"mg/L">;
export type MmolPerL = In<"mmol/L">;
export type MeqPerL = In<"meq/L">;
export type MilliSiemens = In<"mS/cm">;
export type Celsius = In<"°C">;
export type Kilopascal = In<"kPa">;
export type Mol = In<"mol/m²/day">;
export type MicroMol = In<"µmol/m²/s">;

interface Unit {
  /** What it measures; two units convert only within one quantity. */
  readonly quantity: string;
  /** How many of the quantity's first unit one of these is. */
  readonly times: number;
  /** Added before `times`; only temperature scales need it. */
  readonly plus?: number;
  /** Other ways people write it. */
  readonly also?: readonly string[];
}

/** Every unit that a record or a worksheet may use, by its symbol. The first of a quantity has `times` 1. */
export const units = {
  "mS/cm": { quantity: "conductivity", times: 1, also: ["mS cm-1"] },
  "dS/m": { quantity: "conductivity", times: 1 },
  "µS/cm": { quantity: "conductivity", times: 0.001, also: ["uS/cm", "μS/cm"] },
  CF: { quantity: "conductivity", times: 0.1, also: ["cF"] },
  "mg/L": {
    quantity: "concentration",
    times: 1,
    also: ["mg/l", "g/m³", "g/m3"],
  },
  "g/L": { quantity: "concentration", times: 1000, also: ["g/l", "kg/m³"] },
  "µg/L": { quantity: "concentration", times: 0.001, also: ["ug/L", "μg/L"] },
  "mmol/L": { quantity: "amount concentration", times: 1, also: ["mmol/l"] },
  "meq/L": { quantity: "charge concentration", times: 1, also: ["meq/l"] },
  "°C": { quantity: "temperature", times: 1, also: ["C", "ºC", "degC"] },
  "°F": {
    quantity: "temperature",
    plus: -32,
    times: 1 / 1.8,
    also: ["F", "ºF", "degF"],
  },
  g: { quantity: "mass", times: 1, also: ["grams", "gram"] },
  mg: { quantity: "mass", times: 0.001 },
  kg: { quantity: "mass", times: 1000 },
  oz: { quantity: "mass", times: 28.349523125, also: ["ounces"] },
  lb: { quantity: "mass", times: 453.59237, also: ["lbs"] },
  L: { quantity: "volume", times: 1, also: ["l", "litre", "litres"] },
  mL: { quantity: "volume", times: 0.001, also: ["ml"] },
  "m³": { quantity: "volume", times: 1000, also: ["m3"] },
  "US gal": { quantity: "volume", times: 3.785411784 },
  "UK gal": { quantity: "volume", times: 4.54609, also: ["imperial gal"] },
  m: { quantity: "length", times: 1 },
  cm: { quantity: "length", times: 0.01 },
  mm: { quantity: "length", times: 0.001 },
  in: { quantity: "length", times: 0.0254, also: ["inch", "inches", '"'] },
  ft: { quantity: "length", times: 0.3048, also: ["feet"] },
  "m²": { quantity: "area", times: 1, also: ["m2"] },
  "cm²": { quantity: "area", times: 0.0001, also: ["cm2"] },
  days: { quantity: "days", times: 1, also: ["day", "d"] },
  weeks: { quantity: "days", times: 7, also: ["week", "wk"] },
  h: { quantity: "time", times: 1, also: ["hours", "hour", "hrs"] },
  min: { quantity: "time", times: 1 / 60, also: ["minutes", "minute"] },
  s: { quantity: "time", times: 1 / 3600, also: ["seconds", "second"] },
  "%": { quantity: "share", times: 1, also: ["percent", "per cent"] },
  "mol/m²/day": {
    quantity: "light a day",
    times: 1,
    also: ["mol", "mol/m2/day", "mol/m²/d", "mol/m2/d"],
  },
  "µmol/m²/s": {
    quantity: "light",
    times: 1,
    also: ["µmol", "umol", "μmol", "umol/m2/s", "μmol/m²/s", "µmol/m2/s"],
  },
  "µmol/J": { quantity: "lamp efficacy", times: 1, also: ["umol/J", "μmol/J"] },
  lux: { quantity: "illuminance", times: 1, also: ["lx"] },
  W: { quantity: "power", times: 1 },
  kW: { quantity: "power", times: 1000 },
  kWh: { quantity: "energy", times: 1 },
  kPa: { quantity: "pressure", times: 1 },
  bar: { quantity: "pressure", times: 100 },
  "L/h": { quantity: "flow", times: 1, also: ["l/h"] },
  "L/day": { quantity: "flow", times: 1 / 24, also: ["l/day", "L/d"] },
  "L/min": { quantity: "flow", times: 60, also: ["l/min"] },
  "m/s": { quantity: "speed", times: 1 },
  "km/h": { quantity: "speed", times: 1 / 3.6 },
  mV: { quantity: "potential", times: 1 },
  "°": { quantity: "angle", times: 1, also: ["deg"] },
  "/week": { quantity: "rate", times: 1, also: ["a week", "per week"] },
  "/cm²": {
    quantity: "density",
    times: 1,
    also: ["/cm2", "seeds/cm²", "seeds/cm2"],
  },
  "g/week": { quantity: "mass rate", times: 1, also: ["g a week"] },
  "kg/week": { quantity: "mass rate", times: 1000, also: ["kg a week"] },
  "kg/L": {
    quantity: "density of a liquid",
    times: 1,
    also: ["kg/l", "g/mL", "g/ml"],
  },
  "¤": { quantity: "money", times: 1 },
  "¤/kg": { quantity: "price by mass", times: 1 },
  "¤/kWh": { quantity: "price of power", times: 1 },
} as const satisfies Readonly<Record<string, Unit>>;

export type UnitSymbol = keyof typeof units;

/** The unit that a person means by `text`, or undefined when no unit is written so. Case matters: mS is not MS. */
export function unitNamed(text: string): UnitSymbol | undefined {
  return names.get(text);
}

/** `value` of unit `from` in unit `to`. @throws RangeError when the two measure different things. */
export function convert<To extends UnitSymbol>(value: number, from: UnitSymbol, to: To): In<To> {
  if (from === to) return value;
  const source: Unit = units[from];
  const target: Unit = units[to];
  if (source.quantity !== target.quantity) throw new RangeError(`${from} measures ${source.quantity}, ${to} does not`);
  return ((value + (source.plus ?? 0)) * source.times) / target.times - (target.plus ?? 0);
}

/** The symbols that convert to `symbol`, itself first. */
export function unitsLike(symbol: UnitSymbol): readonly UnitSymbol[] {
  const { quantity } = units[symbol];
  const others = symbols.filter((name) => name !== symbol && units[name].quantity === quantity);
  return [symbol, ...others];
}

const symbols = Object.keys(units) as UnitSymbol[];

const names: ReadonlyMap<string, UnitSymbol> = new Map(
  symbols.flatMap((symbol) => {
    const { also = [] }: Unit = units[symbol];
    return [symbol, ...also].map((name) => [name, symbol] as const);
  }),
);
