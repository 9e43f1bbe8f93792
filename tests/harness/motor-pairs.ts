import { motorPoints } from '../../scripts/proof/measured-motors.js'

/** What a motor did at one command in both sessions, rev/min. */
interface SpeedPair {
  readonly a: number
  readonly b: number
}

/**
 * Speeds of a measured motor at commands of 60 and more, from where it turns steadily, wherever it turned in both
 * sessions. fixtures/open-data/README.md names source and licence.
 */
export function motorPairs(wheel: 'left' | 'right', direction: 1 | -1): SpeedPair[] {
  const own = motorPoints(new URL('../../fixtures/open-data/dc-motor-speed.csv', import.meta.url)).filter(
    (point) => point.wheel === wheel && point.direction === direction,
  )
  const inSession = (name: string) => own.filter(({ session }) => session === name)
  return inSession('A').flatMap(({ command, rpm: a }) => {
    const b = inSession('B').find((point) => point.command === command)?.rpm ?? 0
    return a > 0 && b > 0 ? [{ a, b }] : []
  })
}
