import { describe, expect, it } from 'vitest'
import { addAxis, newRecording, newStore } from './store-samples.js'

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

  it('finds a copy whose times count from elsewhere, and no run of the same positions at other times', () => {
    const store = newStore()
    const axis = addAxis(store)
    const recorded = (timesS: readonly number[]) => {
      const { id } = store.recordings.start(newRecording(axis.id, { dial: 3 }))
      // In other pieces each time, as a live recording and its export come.
      for (const [index, timeS] of timesS.entries()) {
        store.recordings.appendLines(id, [{ timeS, text: `X ${index}` }])
      }
      return id
    }
    const first = recorded([0.05, 0.151, 0.249])
    expect(store.recordings.twin(recorded([100.05, 100.151, 100.249]))).toBe(first)
    expect(store.recordings.twin(recorded([0, 0.101, 0.199]))).toBe(first)
    expect(store.recordings.twin(recorded([0.05, 0.155, 0.249]))).toBeNull()
  })
})
