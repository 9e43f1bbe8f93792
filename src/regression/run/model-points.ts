/**
 * Means of neighbours that models of ripple and ramps are fitted to. Derived: under five turns of the leadscrew, over
 * fifty of them to a turn; a time constant of a tenth of the span is 25 of them. More cost time alone.
 */
export const MODEL_POINTS = 256

/**
 * Means of neighbours that tests for a bend or a change of speed are made on. Derived: 64 to each of eight parts, 13 to a
 * time constant of a fortieth of the span. More tell no more of so slow a change.
 */
export const BEND_POINTS = 512

/** Least variance of a position, mm²: a picometre squared, so that an exact simulated track does not divide by zero. */
export const LEAST_VARIANCE_MM2 = 1e-18
