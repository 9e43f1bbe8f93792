/**
 * Why no cut is worked out for an axis that turns, and what to do: a tooth takes its chip at the rim of the work, and how
 * fast the rim passes depends on its distance from the centre.
 */
export const NO_CUT_ON_TURNING_AXIS = {
  message:
    'This axis turns: how fast the work passes a cutter depends on its distance from the centre, so no dial setting can be worked out from a cutter.',
  hint: 'Look up a feed in deg/min instead, or choose a straight axis.',
} as const
