import type { Scatter } from './expected-width.js'

/**
 * What stands in for the scatter of a machine before any setting was repeated: 0.8 % from run to run, and 0.3 % of the
 * dial from setting to setting; between steady and restless small mills (0.3–2 %; 0.1–0.8 %). Common practice, no source.
 *
 * @param dialSpan from the lowest to the highest number of the dial
 */
export function typicalScatter(dialSpan: number, dialRepeats: boolean): Scatter {
  return { runRelative: 0.008, dialReset: dialRepeats ? 0 : 0.003 * dialSpan }
}
