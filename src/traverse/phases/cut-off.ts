import type { Track } from '../block-means.js'
import { fellSilent } from '../disturbances/lost-lines.js'
import type { CutOff, Warning } from '../traverse.js'
import type { Motion, Stretch } from './motions.js'
import type { RestLevel } from './rest-level.js'

/**
 * What the recording does not show of a motion. A table that turns round is at rest for a moment, so a turn counts as
 * seen.
 *
 * @param rests the rests seen before and after it
 * @param moved from the last sample at rest to the first at rest again
 */
export function cutOffOf(
  track: Track,
  motion: Motion,
  rests: { readonly before: RestLevel | null; readonly after: RestLevel | null },
  moved: Stretch,
  periodS: number,
): CutOff[] {
  const cutOff: CutOff[] = []
  if (rests.before === null && motion.from === 0) cutOff.push('began-moving')
  if (rests.after === null && motion.to === track.timeS.length - 1) cutOff.push('ended-moving')
  if (fellSilent(track, moved.from, moved.to, periodS)) cutOff.push('lines-lost')
  return cutOff
}

const WARNINGS: Readonly<Record<CutOff, Warning>> = {
  'began-moving': { code: 'began-moving', message: 'The recording begins while the table already moves.' },
  'ended-moving': {
    code: 'ended-moving',
    message: 'The recording ends before the table came to rest, so it shows no coast.',
  },
  'lines-lost': { code: 'gap', message: 'The readout was silent while the table started or came to rest.' },
}

/** The warnings of a traverse that was cut off; a silence that was told already is not told again. */
export function cutOffWarnings(cutOff: readonly CutOff[], told: readonly Warning[]): Warning[] {
  return cutOff.map((one) => WARNINGS[one]).filter(({ code }) => told.every((other) => other.code !== code))
}

/**
 * How an accepted traverse was cut off, read back from its stored warnings; empty where it was seen whole, from rest
 * to rest.
 *
 * @example cutOffToldBy([{ code: 'gap', message: '…' }]) // ['lines-lost']
 */
export function cutOffToldBy(warnings: readonly Pick<Warning, 'code'>[]): CutOff[] {
  const codes = new Set(warnings.map((warning) => warning.code))
  return (Object.keys(WARNINGS) as CutOff[]).filter((one) => codes.has(WARNINGS[one].code))
}
