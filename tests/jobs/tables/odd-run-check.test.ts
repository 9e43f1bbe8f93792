import { expect, it } from 'vitest'
import { recordStopwatchTakes, tryStopwatchTakes } from '../../../src/jobs/index.js'
import { addAxis, NOW, newStore } from '../../store/store-samples.js'

const CONDITIONS = { dialReset: true, tags: {}, note: null, startedAt: NOW }

/** A stopwatch entry over 100 mm at about so many mm/min. */
function timed(dial: number, feedMmPerMin: number) {
  const entry = { distanceMm: 100, durationS: 6000 / feedMmPerMin, direction: 1 as const, marks: null }
  return { dial, origin: 'test', entry, note: null }
}

it('what is judged without being kept is told the same as when it is kept', () => {
  const store = newStore()
  const axis = addAxis(store)
  const sound = [1, 2, 3, 4, 5].flatMap((dial) => [timed(dial, 20 * dial), timed(dial, 20.1 * dial)])
  for (const outcome of tryStopwatchTakes(store, axis, sound, CONDITIONS))
    expect(outcome).toMatchObject({ conclusions: [], runs: [{ warnings: [] }] })
  recordStopwatchTakes(store, axis, sound, CONDITIONS)

  // A figure misread by a factor of two.
  const tried = tryStopwatchTakes(store, axis, [timed(3, 120)], CONDITIONS)
  expect(store.runs.list(axis.id)).toHaveLength(sound.length)
  const kept = recordStopwatchTakes(store, axis, [timed(3, 120)], CONDITIONS)
  const said = (outcomes: readonly { runs: readonly { warnings: readonly { message: string }[] }[] }[]) =>
    outcomes.flatMap(({ runs }) => runs.flatMap(({ warnings }) => warnings.map(({ message }) => message)))
  expect(said(tried)).toEqual(said(kept))
  expect(said(tried)[0]).toContain('one run feeds')
  expect(tried[0]!.runs[0]!.warnings).toEqual([{ code: 'odd-run', message: expect.any(String) }])
})

it('an earlier run is told as soon as the runs at other dials show it, once', () => {
  const store = newStore()
  const axis = addAxis(store)
  const said = [timed(1, 20), timed(2, 240), timed(3, 60), timed(4, 80), timed(5, 100)].map((take) => {
    const [{ conclusions, runs } = { conclusions: [], runs: [] }] = recordStopwatchTakes(
      store,
      axis,
      [take],
      CONDITIONS,
    )
    const codes = runs.flatMap(({ warnings }) => warnings.map(({ code }) => code))
    return [...codes.filter((code) => code !== 'short-timing'), ...conclusions.map((one) => one.slice(0, 31))]
  })
  expect(said).toEqual([
    [],
    [],
    ['dials-out-of-order'],
    ['An earlier run is odd. At dial 2'.slice(0, 31)],
    [],
  ])
})
