import { describe, expect, it } from 'vitest'
import { spreadsheetNumberFormat } from '../../../src/ingest/index.js'
import { OtherAxisWatch } from '../../../src/ingest/lines/other-axis-watch.js'

/** Lines ten a second of a position, a second number and a clock, and what the watch tells of them. */
function told(of: {
  readonly position: (timeS: number) => number
  readonly other: (timeS: number) => number
  readonly labelled?: boolean
}): string[] {
  const watch = new OtherAxisWatch(spreadsheetNumberFormat(1), 'X')
  const found: string[] = []
  for (let i = 0; i < 100; i += 1) {
    const timeS = i / 10
    const [x, y] = [of.position(timeS), of.other(timeS)].map((value) => value.toFixed(3))
    const text = of.labelled === false ? `${i * 100};${x};${y}` : `T${i * 100} X${x} Y${y}`
    const other = watch.line(timeS, text)
    // A position is known once the next line has come.
    watch.position(of.position(timeS))
    if (other !== null) found.push(other.label ?? `number ${other.place}`)
  }
  return found
}

const still = () => 12
/** At rest for 3 s, then 200 mm/min. */
const moving = (timeS: number) => 40 + Math.max(0, timeS - 3) * (200 / 60)
const flicker = (timeS: number) => 12 + (Math.round(timeS * 10) % 2) * 0.005

describe('OtherAxisWatch', () => {
  it('tells of the axis that moves while the asked one stands, by its label or its place', () => {
    expect(told({ position: still, other: moving })).toEqual(['Y'])
    expect(told({ position: flicker, other: moving })).toEqual(['Y'])
    expect(told({ position: still, other: moving, labelled: false })).toEqual(['number 3'])
  })

  it('tells of nothing where the asked axis moves, alone or with another, or nothing does', () => {
    expect(told({ position: moving, other: still })).toEqual([])
    expect(told({ position: moving, other: moving })).toEqual([])
    expect(told({ position: still, other: flicker })).toEqual([])
  })

  it('does not take a number that is set to zero for an axis that moves', () => {
    expect(told({ position: still, other: (timeS) => (timeS < 3 ? 40 : 0) + flicker(timeS) })).toEqual([])
  })

  it('takes no clock for an axis, however it counts', () => {
    for (const labelled of [true, false]) {
      expect(told({ position: still, other: still, labelled })).toEqual([])
    }
  })
})
