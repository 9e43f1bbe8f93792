/**
 * Which clock a run was timed by, and what that clock leaves in the uncertainty of its feed. NULL in runs that were
 * judged before it was kept, and in those of a stopwatch.
 */
export const RUN_CLOCK = /* sql */ `
ALTER TABLE run ADD COLUMN clock TEXT CHECK (clock IN ('host', 'device'));
ALTER TABLE run ADD COLUMN clock_u_mm_per_min REAL
  CHECK (clock_u_mm_per_min >= 0 AND clock_u_mm_per_min < 1e308);
`
