/**
 * Section + job -> SolidPlan: everything the kernel is to build, in plain numbers, derived defaults filled in.
 * Part frame, mm, degrees. Pure data: two equal plans give the same solid, and each stage's part of it is its cache key.
 */
export interface SolidPlan {
  readonly placeholder: never;
}
