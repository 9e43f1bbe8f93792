import { describe, expect, it } from 'vitest'
import { addAxis, newRecording, newStore } from './store-samples.js'

const ENTRY = { distanceMm: 152.4, durationS: 28.4, direction: 1 as const, marks: null }

describe('recordings.twin(recordingId)', () => {
  it('finds an earlier recording of the same setting with the very same lines', () => {
    const store = newStore()
    const axis = addAxis(store)
    const recorded = (texts: readonly string[], dial: number | 'rapid' = 3, axisId = axis.id) => {
      const { id } = store.recordings.start(newRecording(axisId, { dial }))
      store.recordings.appendLines(
        id,
        texts.map((text, index) => ({ timeS: index, text })),
      )
      return id
    }
    const first = recorded(['X 1', 'X 2'])
    expect(store.recordings.twin(first)).toBeNull()
    expect(store.recordings.twin(recorded(['X 1', 'X 2']))).toBe(first)
    expect(store.recordings.twin(recorded(['X 1', 'X 3']))).toBeNull()
    expect(store.recordings.twin(recorded(['X 1']))).toBeNull()
    expect(store.recordings.twin(recorded(['X 1', 'X 2'], 4))).toBeNull()
    expect(store.recordings.twin(recorded(['X 1', 'X 2'], 'rapid'))).toBeNull()
    expect(store.recordings.twin(recorded(['X 1', 'X 2'], 3, addAxis(store, 'lathe').id))).toBeNull()
  })

  it('finds an earlier stopwatch entry that is the same to the last digit', () => {
    const store = newStore()
    const axis = addAxis(store)
    const timed = (changes: Partial<typeof ENTRY>) =>
      store.recordings.addStopwatch(newRecording(axis.id, { source: 'stopwatch' }), { ...ENTRY, ...changes })
        .id
    const first = timed({})
    expect(store.recordings.twin(first)).toBeNull()
    expect(store.recordings.twin(timed({}))).toBe(first)
    expect(store.recordings.twin(timed({ durationS: 28.5 }))).toBeNull()
  })
})
