declare module "jstat" {
  interface Distribution {
    cdf(x: number, ...parameters: number[]): number;
    pdf(x: number, ...parameters: number[]): number;
    inv(p: number, ...parameters: number[]): number;
  }
  export const jStat: Readonly<
    Record<"studentt" | "normal" | "binomial" | "hypgeom" | "beta", Distribution> & {
      stdev(values: readonly number[], sample: boolean): number;
      mean(values: readonly number[]): number;
      median(values: readonly number[]): number;
    }
  >;
}

declare module "psychrolib" {
  const psychrolib: {
    readonly SI: number;
    SetUnitSystem(system: number): void;
    GetSatVapPres(celsius: number): number;
    GetTDewPointFromRelHum(celsius: number, share: number): number;
    GetStandardAtmPressure(metres: number): number;
  };
  export default psychrolib;
}
