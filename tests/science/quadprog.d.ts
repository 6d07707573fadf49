/** The one routine that the tests use: min ½·xᵀDx − dᵀx under Aᵀx ≥ b, with arrays that start at index 1. */
declare module "quadprog" {
  export function solveQP(
    Dmat: readonly (readonly number[])[],
    dvec: readonly number[],
    Amat: readonly (readonly number[])[],
    bvec: readonly number[],
    meq?: number,
  ): { readonly solution: readonly number[]; readonly value: readonly number[]; readonly message: string };
}
