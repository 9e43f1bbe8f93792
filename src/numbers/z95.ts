/**
 * Half width of a 95 % interval in standard deviations of a normal distribution: its 97.5 % point (by definition).
 * Read from this file and not through the door, which loads quantiles that a lookup at the machine does not need.
 */
export const Z95 = 1.959964
