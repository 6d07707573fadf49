/**
 * The whole number of things that covers `quotient`: rounded up, after a billionth is taken off,
 * so that 0.1 + 0.2 things over 0.1 is 3 of them and not 4. Never -0.
 */
export function wholeUp(quotient: number): number {
  return Math.ceil(quotient - 1e-9) + 0;
}
