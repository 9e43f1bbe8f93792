import type { Point } from './measured-motors.js'

// How the sessions of the measured motors differ.

/** Commands from which on a motor runs evenly; slower ones show the shape of the curve more than scatter. */
const EVEN_FROM = 100

/**
 * How far each motor scatters from session to session at one command, one way and the other, after what all commands of a
 * session have in common: the standard deviation of the logarithms' differences over √2, as a phrase.
 */
export function motorScatters(points: readonly Point[]): string {
  return byWheel(points, (differences) => {
    const squares = differences.reduce((sum, one) => sum + one * one, 0)
    return `${(100 * Math.sqrt(squares / (2 * (differences.length - 1)))).toFixed(2)} %`
  })
}

/**
 * How alike the sessions differ at neighbouring commands, one way and the other, after what all commands have in common:
 * the correlation of the differences with those at the next command, as a phrase. Scatter from run to run has none; near 1
 * it is the shape of the whole curve that changed between the sessions.
 */
export function motorLikeness(points: readonly Point[]): string {
  return byWheel(points, (differences) => {
    const squares = differences.reduce((sum, one) => sum + one * one, 0)
    const products = differences.slice(1).reduce((sum, one, i) => sum + one * differences[i]!, 0)
    return (products / squares).toFixed(2)
  })
}

/** A phrase for each motor and direction, of how its logarithms differ from session to session less their mean. */
function byWheel(points: readonly Point[], told: (differences: readonly number[]) => string): string {
  const ofWheel = (wheel: string) =>
    ([1, -1] as const).map((direction) => {
      const own = points.filter((point) => point.wheel === wheel && point.direction === direction)
      const steady = own.filter(({ command, session }) => command >= EVEN_FROM && session === 'A')
      const logs = logRatios(
        steady.sort((a, b) => a.command - b.command),
        own,
      )
      const mean = logs.reduce((sum, log) => sum + log, 0) / logs.length
      return told(logs.map((log) => log - mean))
    })
  return ['left', 'right'].map((wheel) => `${wheel} wheel ${ofWheel(wheel).join(' and ')}`).join(', ')
}

/** Logarithms of the speeds of points over those of the other session at the same command. */
export function logRatios(tested: readonly Point[], own: readonly Point[]): number[] {
  return tested.flatMap(({ session, direction, command, rpm }) => {
    const other = own.find(
      (point) => point.session !== session && point.direction === direction && point.command === command,
    )
    return other && other.rpm > 0 && rpm > 0 ? [Math.log(rpm / other.rpm)] : []
  })
}
