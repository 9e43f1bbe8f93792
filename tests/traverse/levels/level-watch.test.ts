import { describe, expect, it } from 'vitest'
import { LevelWatch } from '../../../src/traverse/levels/level-watch.js'
import { rounding, stairs } from './stairs.js'

/** A watch that has seen so much of a track, s. */
function seen(track: ReturnType<typeof stairs>, untilS: number, watch = new LevelWatch(0.002)): LevelWatch {
  for (const [i, timeS] of track.timeS.entries()) {
    if (timeS <= untilS) watch.add(timeS, track.positionMm[i]!)
  }
  return watch
}

describe('LevelWatch', () => {
  const track = stairs(
    [
      [-3, 8],
      [-4, 8],
    ],
    rounding,
  )

  it('sees a level once it has shown for three seconds, with its speed and way', () => {
    expect(seen(track, 2).look()).toBeNull()
    const level = seen(track, 6).look()!
    expect(level.speedMmPerS).toBeCloseTo(3, 2)
    expect(level.heldS).toBeGreaterThan(5.5)
    expect(level.wayMm).toBeCloseTo(3 * level.heldS, 1)
    expect(level.isNew).toBe(true)
  })

  it('sees none right after the speed has changed, then the new one', () => {
    expect(seen(track, 8.8).look()).toBeNull()
    expect(seen(track, 13).look()).toMatchObject({ speedMmPerS: expect.closeTo(4, 2), isNew: true })
  })

  it('takes a level for new only after another speed, once another is expected', () => {
    const watch = seen(track, 6)
    watch.expectAnother(watch.look()!)
    const rest = { timeS: track.timeS.filter((t) => t > 6), positionMm: track.positionMm.slice(121) }
    seen(rest, 8, watch)
    expect(watch.look()).toMatchObject({ isNew: false, speedMmPerS: expect.closeTo(3, 2) })
    seen({ timeS: track.timeS.filter((t) => t > 8), positionMm: track.positionMm.slice(161) }, 14, watch)
    expect(watch.look()).toMatchObject({ isNew: true, speedMmPerS: expect.closeTo(4, 2) })
  })

  it('takes none for new whose change it did not see, whatever speed the one before was said to have', () => {
    const watch = seen(track, 6)
    watch.expectAnother({ ...watch.look()!, speedMmPerS: 3.1 })
    seen({ timeS: track.timeS.filter((t) => t > 6), positionMm: track.positionMm.slice(121) }, 8, watch)
    expect(watch.look()).toMatchObject({ isNew: false, speedMmPerS: expect.closeTo(3, 2) })
  })

  it('looks back a minute and a half at most', () => {
    expect(seen(stairs([[3, 140]], rounding), 140).look()!.heldS).toBeCloseTo(90, 0)
  })

  it('passes over a sample that goes back in time, and refuses a step that is none', () => {
    const watch = seen(track, 6)
    const before = watch.look()
    watch.add(1, 500)
    expect(watch.look()).toEqual(before)
    expect(() => new LevelWatch(0)).toThrow(RangeError)
  })
})
