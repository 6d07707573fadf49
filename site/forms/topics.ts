/** The worksheets by topic, in the order of a grower's day; each topic is one script. */
export const topics = {
  water: [
    "ec-reading",
    "meter-check",
    "label-to-element",
    "hardness-alkalinity",
    "water-blend",
    "solution-check",
    "acid-dose",
  ],
  feed: ["feed-recipe", "trace-weights", "tub-top-up", "tub-solubility"],
  delivery: [
    "injector-setting",
    "ratio-wording",
    "flow-window",
    "catch-test",
    "one-head",
    "tub-days-left",
    "base-drift",
    "base-drain",
    "rain-dilution",
    "water-use",
    "pump-head",
  ],
  tower: ["line-match", "tower-port-score", "tower-layout", "gust-check"],
  light: ["light-total", "lamp-plan", "day-length", "growing-days", "air-dryness", "room-load", "house-heat"],
  dates: [
    "sow-date",
    "calendar-date",
    "month-shift",
    "port-calendar",
    "germination-test",
    "cells-to-sow",
    "micro-pots",
    "ports-for-order",
    "dispatch-day",
    "use-by",
    "unit-cost",
  ],
  trials: [
    "group-summary",
    "paired-blocks",
    "two-shares",
    "trial-size",
    "pool-record",
    "safe-yield",
    "label-code",
    "dilution",
  ],
} as const satisfies Readonly<Record<string, readonly string[]>>;

/** What a customer may need, and what gives nothing of the yard away. */
export const customerTopics = {
  customer: ["ec-reading", "dilution", "light-total", "day-length", "month-shift", "calendar-date"],
} as const;

export type Topic = keyof typeof topics | keyof typeof customerTopics;
