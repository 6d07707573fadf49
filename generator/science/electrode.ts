import type { Celsius, In } from "./units.ts";

/**
 * What a perfect pH electrode gives for one pH [mV]: 59.16 mV at 25 °C, in proportion to absolute temperature.
 * @see Nernst equation, R·T·ln 10 ÷ F.
 */
export function nernstSlope(temperature: Celsius): In<"mV"> {
  return (59.16 * (temperature + 273.15)) / 298.15;
}

/** One buffer and what the electrode gave in it. */
export interface BufferReading {
  readonly ph: In<"pH">;
  readonly potential: In<"mV">;
}

/** What an electrode gives for one pH [mV], from two buffers: it falls as pH rises, so a sound one is above 0. */
export function electrodeSlope(high: BufferReading, low: BufferReading): In<"mV"> {
  return (low.potential - high.potential) / (high.ph - low.ph);
}

/** What an electrode gives at pH 7 [mV], where a perfect one gives 0; by the straight line through two buffers. */
export function electrodeOffset(high: BufferReading, low: BufferReading): In<"mV"> {
  return high.potential + electrodeSlope(high, low) * (high.ph - 7);
}

/** The potential that a perfect electrode gives at a pH [mV]; for meters that show pH and no potential. */
export function nernstPotential(ph: In<"pH">, temperature: Celsius): In<"mV"> {
  return (7 - ph) * nernstSlope(temperature);
}
