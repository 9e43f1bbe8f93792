import { describe, expect, it } from 'vitest'
import { StopwatchTimer } from '../../../src/ingest/recordings/stopwatch-timer.js'

describe('StopwatchTimer', () => {
  it('times from the start press to the stop press, with marks along the way', () => {
    const timer = new StopwatchTimer()
    timer.press(10)
    timer.mark(24)
    timer.press(38.4)
    expect(timer.state).toBe('stopped')
    expect(timer.timing()?.durationS).toBeCloseTo(28.4, 12)
    expect(timer.timing()?.marksS).toEqual([14])
  })

  it('runs on after a mistaken stop is taken back', () => {
    const timer = new StopwatchTimer()
    timer.press(0)
    timer.press(5)
    expect(timer.undo()?.kind).toBe('stop')
    expect(timer.state).toBe('running')
    expect(timer.timing()).toBeNull()
    timer.press(30)
    expect(timer.timing()?.durationS).toBe(30)
  })

  it('takes back marks and the start one after the other, and nothing when nothing was pressed', () => {
    const timer = new StopwatchTimer()
    expect(timer.undo()).toBeNull()
    timer.press(1)
    timer.mark(2)
    expect(timer.undo()?.kind).toBe('mark')
    expect(timer.undo()?.kind).toBe('start')
    expect(timer.state).toBe('ready')
  })

  it('ignores marks before the start and after the stop, presses after the stop, and times that go backward', () => {
    const timer = new StopwatchTimer()
    timer.mark(1)
    timer.press(2)
    timer.mark(1.5)
    timer.press(9)
    timer.press(12)
    timer.mark(13)
    expect(timer.presses).toEqual([
      { kind: 'start', timeS: 2 },
      { kind: 'stop', timeS: 9 },
    ])
  })

  it('takes two presses 60 ms apart for one', () => {
    const timer = new StopwatchTimer()
    timer.press(10)
    timer.press(10.06)
    expect(timer.state).toBe('running')
    timer.mark(24)
    timer.mark(24.1)
    timer.press(38.4)
    expect(timer.timing()).toEqual({ durationS: expect.closeTo(28.4, 9), marksS: [14] })
  })
})
