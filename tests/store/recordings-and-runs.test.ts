import Database from 'better-sqlite3'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { NewRecording, RunJudgement } from '../../src/store/index.js'
import { addAxis, JUDGEMENT, LATER, NOW, newRecording, newStore, REJECTED } from './store-samples.js'

/** Finite doubles; -0 is left out, because neither SQL nor JSON tells it from 0. */
const finite = fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e300, max: 1e300 }).map((x) => x + 0)
const positive = fc.double({ noNaN: true, min: 1e-300, max: 1e300 })
const text = fc.string({ unit: 'grapheme' })
/** Every byte a readout can send, as latin1. */
const rawLine = fc.uint8Array({ maxLength: 40 }).map((bytes) => Buffer.from(bytes).toString('latin1'))

describe('recordings', () => {
  it('give back any lines exactly, over any division into pieces', () => {
    const store = newStore()
    const axis = addAxis(store)
    const pieces = fc.array(fc.array(fc.record({ timeS: finite, text: rawLine }), { maxLength: 5 }), {
      maxLength: 5,
    })
    fc.assert(
      fc.property(pieces, (handed) => {
        const { id } = store.recordings.start(newRecording(axis.id))
        for (const piece of handed) store.recordings.appendLines(id, piece)
        expect([...store.recordings.lines(id)]).toEqual(handed.flat())
        const asText = [...store.recordings.text(id)].join('')
        const format = handed.flat().map((line) => `${JSON.stringify({ t: line.timeS, line: line.text })}\n`)
        expect(asText).toBe(format.join(''))
      }),
      { seed: 1, numRuns: 60 },
    )
  })

  it('give back any description exactly', () => {
    const store = newStore()
    const axis = addAxis(store)
    const description = fc.record({
      dial: fc.oneof(finite, fc.constant('rapid' as const), fc.constant(null)),
      dialReset: fc.boolean(),
      origin: text,
      readout: fc.jsonValue().map((value) => JSON.parse(JSON.stringify(value))),
      units: fc.option(fc.record({ unit: text, countMm: finite })),
      tags: fc.dictionary(text, text).map((tags) => ({ ...tags })),
      note: fc.option(text),
      sessionName: text.filter((name) => name !== ''),
      check: fc.boolean(),
    })
    fc.assert(
      fc.property(description, (changes) => {
        const asked = newRecording(axis.id, changes)
        const { id } = store.recordings.start(asked)
        expect(store.recordings.get(id)).toEqual({ ...asked, id, endedAt: null })
      }),
      { seed: 2, numRuns: 100 },
    )
  })

  it('are unfinished until ended, and take no line after that', () => {
    const store = newStore()
    const axis = addAxis(store)
    const { id } = store.recordings.start(newRecording(axis.id))
    store.recordings.appendLines(id, [{ timeS: 0, text: 'X 0.000' }])
    expect(store.recordings.unfinished(axis.id).map((recording) => recording.id)).toEqual([id])
    store.recordings.end(id, LATER)
    expect(store.recordings.unfinished(axis.id)).toEqual([])
    expect(() => store.recordings.appendLines(id, [{ timeS: 1, text: 'X 1.000' }])).toThrow(/has ended/)
    expect(() => store.recordings.get('01ARZ3NDEKTSV4RRFFQ69G5FAV')).toThrow(/no recording/)
  })

  it('refuse a time that is not a number, whole', () => {
    const store = newStore()
    const { id } = store.recordings.start(newRecording(addAxis(store).id))
    const lines = [
      { timeS: 0, text: 'X 0' },
      { timeS: Number.NaN, text: 'X 1' },
    ]
    expect(() => store.recordings.appendLines(id, lines)).toThrow(/NaN/)
    expect([...store.recordings.lines(id)]).toEqual([])
  })

  it('can be read line by line while runs are being stored', () => {
    const store = newStore()
    const { id } = store.recordings.start(newRecording(addAxis(store).id))
    for (let piece = 0; piece < 3; piece++) store.recordings.appendLines(id, [{ timeS: piece, text: 'X' }])
    let runs = 0
    for (const _line of store.recordings.lines(id)) runs += store.runs.add(id, 3, [JUDGEMENT], NOW).length
    expect(runs).toBe(3)
  })

  it('keep a stopwatch entry as it was entered', () => {
    const store = newStore()
    const axis = addAxis(store)
    const entry = { distanceMm: 152.4, durationS: 28.4, direction: -1 as const, marks: [[50.8, 9.5]] }
    const asked = newRecording(axis.id, { source: 'stopwatch', origin: 'keyboard' })
    const recording = store.recordings.addStopwatch(asked, entry)
    expect(recording).toEqual({
      ...asked,
      id: recording.id,
      endedAt: NOW,
      sessionName: NOW.slice(0, 10),
      check: false,
    })
    expect(store.recordings.stopwatchEntry(recording.id)).toEqual(entry)
    const readout = store.recordings.start(newRecording(axis.id))
    expect(store.recordings.stopwatchEntry(readout.id)).toBeNull()
  })
})

describe('runs', () => {
  const judgement: fc.Arbitrary<RunJudgement> = fc.record({
    direction: fc.constantFrom(1 as const, -1 as const),
    rejection: fc.constant(null),
    feed: fc.record({
      feedMmPerMin: positive,
      standardUncertaintyMmPerMin: positive,
      degreesOfFreedom: fc.oneof(positive, fc.constant(Number.POSITIVE_INFINITY)),
      interval95MmPerMin: fc.tuple(finite, finite),
      ripple: fc.option(fc.record({ periodMm: positive, amplitudeMm: finite })),
    }),
    phases: fc.option(fc.record({ startS: finite, steadyFromS: finite, steadyToS: finite, endS: finite })),
    distanceMm: positive,
    durationS: positive,
    coast: fc.option(fc.record({ distanceMm: finite, standardUncertaintyMm: fc.option(positive) })),
    samples: fc.record({
      read: fc.nat(),
      used: fc.nat(),
      rejected: fc.dictionary(text, fc.nat()).map((counts) => ({ ...counts })),
    }),
    warnings: fc.array(fc.record({ code: text, message: text })),
    judgedWith: text,
    window: fc.option(fc.record({ startS: finite, endS: finite })),
    clock: fc.option(
      fc.record({
        kind: fc.constantFrom('host' as const, 'device' as const),
        uncertaintyMmPerMin: fc.oneof(positive, fc.constant(0)),
      }),
    ),
  })

  it('come back equal, whatever was concluded, also when judged again', () => {
    const store = newStore()
    const { id } = store.recordings.start(newRecording(addAxis(store).id))
    fc.assert(
      fc.property(judgement, judgement, (first, second) => {
        const [run] = store.runs.add(id, 3, [first], NOW)
        expect(run).toMatchObject({ ...first, recordingId: id, dial: 3, accepted: true, createdAt: NOW })
        const again = store.runs.replaceJudgement(run!.id, second, LATER)
        expect(again).toEqual({ ...run, ...second })
      }),
      { seed: 3, numRuns: 100 },
    )
  })

  it('keep their id when judged again, and the old judgement in the change log', () => {
    const store = newStore()
    const axis = addAxis(store)
    const { id } = store.recordings.start(newRecording(axis.id))
    const [run] = store.runs.add(id, 3, [JUDGEMENT], NOW)
    const again = store.runs.replaceJudgement(run!.id, REJECTED, LATER)
    expect([again.id, again.accepted, again.feed]).toEqual([run!.id, false, null])
    const entry = store.history.list(axis.id).at(-1)
    expect(entry).toMatchObject({ kind: 'change', subject: 'run', action: 'judge-again', before: run })
  })

  it('of one recording are numbered in order and sort by id in the order they were made', () => {
    const store = newStore()
    const axis = addAxis(store)
    const { id } = store.recordings.start(newRecording(axis.id))
    const added = [
      ...store.runs.add(id, 3, [JUDGEMENT, { ...JUDGEMENT, direction: -1 }], NOW),
      ...store.runs.add(id, 3, [REJECTED], NOW),
    ]
    expect(added.map((run) => run.ordinal)).toEqual([0, 1, 2])
    expect(store.runs.ofRecording(id)).toEqual(added)
    expect(store.runs.list(axis.id)).toEqual(added)
  })

  it('filter by direction, source, dial, time, id and tags', () => {
    const store = newStore()
    const axis = addAxis(store)
    const add = (changes: Parameters<typeof newRecording>[1], dial: number | 'rapid', at = NOW) => {
      const { id } = store.recordings.start(newRecording(axis.id, { ...changes, dial }))
      return store.runs.add(id, dial, [JUDGEMENT], at)[0]!.id
    }
    const cold = add({ tags: { oil: 'cold', load: 'vise' } }, 3)
    const warm = add({ tags: { oil: 'warm' } }, 3, LATER)
    const rapid = add({}, 'rapid', LATER)
    const ids = (filter: Parameters<typeof store.runs.list>[1]) =>
      store.runs.list(axis.id, filter).map((run) => run.id)
    expect(ids({ tags: { oil: 'cold' } })).toEqual([cold])
    expect(ids({ tags: { oil: 'cold', load: 'none' } })).toEqual([])
    expect(ids({ dial: 3 })).toEqual([cold, warm])
    expect(ids({ dial: 'rapid' })).toEqual([rapid])
    expect(ids({ since: LATER })).toEqual([warm, rapid])
    expect(ids({ until: NOW })).toEqual([cold])
    expect(ids({ runIds: [rapid, cold] })).toEqual([cold, rapid])
    expect(ids({ direction: -1 })).toEqual([])
    expect(ids({ source: 'stopwatch' })).toEqual([])
  })

  it('evidenceFor leaves out rejected, dropped, rapid and off-dial runs and says why', () => {
    const store = newStore()
    const axis = addAxis(store)
    const { id } = store.recordings.start(newRecording(axis.id))
    const add = (dial: number | 'rapid', judged: RunJudgement) =>
      store.runs.add(id, dial, [judged], NOW)[0]!.id
    const good = add(3, JUDGEMENT)
    const rejected = add(3, REJECTED)
    const rapid = add('rapid', JUDGEMENT)
    const off = add(12, JUDGEMENT)
    const dropped = add(3, JUDGEMENT)
    store.runs.drop(dropped, 'belt slipped', LATER)
    const { evidence, leftOut } = store.runs.evidenceFor(axis.id)
    expect(evidence).toEqual([
      {
        runId: good,
        dial: 3,
        direction: 1,
        feedMmPerMin: 181.25,
        standardUncertaintyMmPerMin: 0.01,
        source: 'readout',
        session: NOW.slice(0, 10),
        setting: good,
        travel: id,
      },
    ])
    expect(leftOut.map((run) => [run.runId, run.code])).toEqual([
      [rejected, 'rejected'],
      [rapid, 'rapid'],
      [off, 'outside-dial'],
      [dropped, 'dropped'],
    ])
    expect(leftOut[3]?.message).toContain('belt slipped')
    const kept = store.runs.keep(dropped, LATER)
    expect([kept.droppedAt, kept.dropReason]).toEqual([null, null])
    expect(store.runs.evidenceFor(axis.id).evidence).toHaveLength(2)
  })

  it('evidenceFor tells when a run was made where it was recorded live, not where it was read in', () => {
    const store = newStore()
    const axis = addAxis(store)
    const timed = (part: Partial<NewRecording>) => {
      const { id } = store.recordings.start(newRecording(axis.id, part))
      store.runs.add(id, 3, [JUDGEMENT], LATER)
      return store.runs.evidenceFor(axis.id).evidence.at(-1)!.timeS
    }
    const madeS = Date.parse(NOW) / 1000
    expect(timed({ readout: { writer: { kind: 'live' } } })).toBe(madeS)
    expect(timed({ source: 'stopwatch', origin: 'keyboard', readout: null })).toBe(madeS)
    expect(timed({ readout: { writer: { kind: 'import' } } })).toBeUndefined()
    expect(timed({ readout: 'older than writers' })).toBeUndefined()
    expect(timed({ source: 'stopwatch', origin: 'sheet.csv', readout: null })).toBeUndefined()
  })

  it('evidenceFor says which runs were made at one setting of the dial', () => {
    const store = newStore()
    const axis = addAxis(store)
    const record = (dial: number, dialReset: boolean, runs: number): string[] => {
      const { id } = store.recordings.start(newRecording(axis.id, { dial, dialReset }))
      return store.runs.add(id, dial, new Array(runs).fill(JUDGEMENT), NOW).map((run) => run.id)
    }
    const [to, fro] = record(3, true, 2)
    const [untouched] = record(3, false, 1)
    const [anew] = record(3, true, 1)
    const [elsewhere] = record(5, false, 1)
    const { evidence } = store.runs.evidenceFor(axis.id)
    expect(evidence.map((run) => [run.runId, run.setting])).toEqual([
      [to, to],
      [fro, to],
      [untouched, to],
      [anew, anew],
      [elsewhere, elsewhere],
    ])
  })

  it('refuse what is not a number, and an unknown run', () => {
    const store = newStore()
    const { id } = store.recordings.start(newRecording(addAxis(store).id))
    const broken = { ...JUDGEMENT, distanceMm: Number.NaN }
    expect(() => store.runs.add(id, 3, [JUDGEMENT, broken], NOW)).toThrow(/NaN/)
    expect(store.runs.ofRecording(id)).toEqual([])
    expect(() => store.runs.get('01ARZ3NDEKTSV4RRFFQ69G5FAV')).toThrow(/no run/)
  })
})

describe('sessions', () => {
  it('go on where they stopped: done steps follow from accepted runs that were not dropped', () => {
    const store = newStore()
    const axis = addAxis(store)
    const plan = { procedure: 'standard', steps: [{ step: 1 }, { step: 2 }, { step: 3 }] }
    const session = store.sessions.start({
      axisId: axis.id,
      procedure: 'standard',
      plan,
      source: 'readout',
      startedAt: NOW,
    })
    expect(store.sessions.inProgress(axis.id)).toEqual({ ...session, plan, endedAt: null })
    const record = (step: number, judged: RunJudgement) => {
      const { id } = store.recordings.start(newRecording(axis.id, { sessionId: session.id, step }))
      return store.runs.add(id, 3, [judged], NOW)[0]!.id
    }
    record(2, JUDGEMENT)
    const first = record(1, JUDGEMENT)
    record(3, REJECTED)
    expect(store.sessions.doneSteps(session.id)).toEqual([1, 2])
    store.runs.drop(first, 'wrong dial', LATER)
    expect(store.sessions.doneSteps(session.id)).toEqual([2])
    store.sessions.end(session.id, LATER)
    expect(store.sessions.inProgress(axis.id)).toBeNull()
    expect(() => store.sessions.get(99)).toThrow(/no session/)
  })
})

it('raw data and origins refuse every change in the database itself', () => {
  const store = newStore()
  const axis = addAxis(store)
  const { id } = store.recordings.start(newRecording(axis.id))
  store.recordings.appendLines(id, [{ timeS: 0, text: 'X' }])
  store.runs.add(id, 3, [JUDGEMENT], NOW)
  const entry = { distanceMm: 1, durationS: 1, direction: 1 as const, marks: null }
  store.recordings.addStopwatch(newRecording(axis.id, { source: 'stopwatch' }), entry)
  const other = new Database(store.path)
  const refused = [
    "UPDATE recording_piece SET lines = 'x'",
    'DELETE FROM recording_piece',
    'UPDATE stopwatch_entry SET duration_s = 2',
    'DELETE FROM stopwatch_entry',
    "UPDATE recording SET origin = 'x'",
    'DELETE FROM recording',
    'UPDATE run SET dial = 4',
    'DELETE FROM run',
    'DELETE FROM axis',
    'DELETE FROM machine',
    'UPDATE change_log SET at = at',
    'DELETE FROM change_log',
  ]
  for (const sql of refused) expect(() => other.exec(sql), sql).toThrow(/never change/)
  other.close()
})

it('the database itself refuses numbers that are not finite and values of another kind', () => {
  const store = newStore()
  const axis = addAxis(store)
  const other = new Database(store.path)
  const bad = [
    ['UPDATE axis SET travel_mm = ?', Number.POSITIVE_INFINITY],
    ['UPDATE axis SET travel_mm = ?', Number.NaN],
    ['UPDATE axis SET travel_mm = ?', 'long'],
    ['UPDATE axis SET stepped = ?', 2],
    ['UPDATE axis SET marks = ?', '{}'],
    ['UPDATE machine SET unit = ?', 'ft'],
    ['UPDATE axis SET machine_id = ?', 99],
    ['UPDATE axis SET created_at = ?', 'yesterday'],
  ] as const
  for (const [sql, value] of bad) {
    expect(() => other.prepare(sql).run(value), `${sql} ${value}`).toThrow(/constraint|cannot store/)
  }
  other.close()
  expect(store.axes.byId(axis.id)).toEqual(axis)
})
