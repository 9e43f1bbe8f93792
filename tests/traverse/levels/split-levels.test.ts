import { describe, expect, it } from 'vitest'
import { levelPoints } from '../../../src/traverse/levels/level-points.js'
import { splitLevels } from '../../../src/traverse/levels/split-levels.js'
import { rounding, stairs } from './stairs.js'

const OPTIONS = { leastS: 2, perLevel: 25 }

function levelsOf(track: ReturnType<typeof stairs>, options = OPTIONS) {
  const points = levelPoints(track, { from: 0, to: track.timeS.length }, 0.02)
  const inS = (index: number) => points.timeS[index]!
  return splitLevels(points, options).map(({ from, to }) => [inS(from), inS(to - 1)])
}

describe('splitLevels(points, options)', () => {
  it('is one level where the speed is one', () => {
    const [level, ...more] = levelsOf(stairs([[3, 10]], rounding))
    expect(more).toEqual([])
    expect(level![0]).toBeLessThan(0.2)
    expect(level![1]).toBeGreaterThan(9.8)
  })

  it('parts speeds where they change, to a few points', () => {
    const levels = levelsOf(
      stairs(
        [
          [3, 6],
          [4, 5],
          [1, 7],
        ],
        rounding,
      ),
    )
    expect(levels).toHaveLength(3)
    for (const [k, edgeS] of [6, 11].entries()) {
      expect(Math.abs(levels[k]![1]! - edgeS)).toBeLessThan(0.3)
      expect(Math.abs(levels[k + 1]![0]! - edgeS)).toBeLessThan(0.3)
    }
  })

  it('leaves out what lies between levels: a knob on its way', () => {
    const onItsWay = Array.from({ length: 10 }, (_, k) => [3 + 0.3 * k, 0.15] as const)
    const levels = levelsOf(stairs([[3, 6], ...onItsWay, [6, 6]], rounding))
    expect(levels).toHaveLength(2)
    expect(levels[0]![1]).toBeLessThan(6.6)
    expect(levels[1]![0]).toBeGreaterThan(6.9)
  })

  it('has no level that is shorter than it must last', () => {
    const short = stairs(
      [
        [3, 6],
        [5, 1.5],
        [2, 6],
      ],
      rounding,
    )
    expect(levelsOf(short)).toHaveLength(2)
    expect(levelsOf(short, { ...OPTIONS, leastS: 1 })).toHaveLength(3)
    expect(levelsOf(stairs([[3, 1]]), { ...OPTIONS, leastS: 5 })).toEqual([])
  })

  it('makes a further level only for what betters the fit by more than it costs', () => {
    const near = stairs(
      [
        [3, 6],
        [3.02, 6],
      ],
      rounding,
    )
    expect(levelsOf(near, { ...OPTIONS, perLevel: 300 })).toHaveLength(1)
    expect(levelsOf(near, { ...OPTIONS, perLevel: 3 }).length).toBeGreaterThan(1)
  })
})
