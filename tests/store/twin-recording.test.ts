import { describe, expect, it } from 'vitest'
import { addAxis, JUDGEMENT, NOW, newRecording, newStore, REJECTED } from './store-samples.js'

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
      store.runs.add(id, dial, [JUDGEMENT], NOW)
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

  it('finds none where no run of the earlier recording counts, so that it can be read again as it should be', () => {
    const store = newStore()
    const axis = addAxis(store)
    const recorded = (judged: readonly (typeof JUDGEMENT)[]) => {
      const { id } = store.recordings.start(newRecording(axis.id, { dial: 3 }))
      store.recordings.appendLines(id, [{ timeS: 0, text: 'X 1' }])
      return { id, runs: store.runs.add(id, 3, judged, NOW) }
    }
    recorded([])
    recorded([REJECTED])
    const left = recorded([JUDGEMENT])
    expect(store.recordings.twin(left.id)).toBeNull()
    store.runs.drop(left.runs[0]!.id, 'lever slipped', NOW)
    expect(store.recordings.twin(recorded([JUDGEMENT]).id)).toBeNull()
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
      store.runs.add(id, 3, [JUDGEMENT], NOW)
      return id
    }
    const first = recorded([0.05, 0.151, 0.249])
    expect(store.recordings.twin(recorded([100.05, 100.151, 100.249]))).toBe(first)
    expect(store.recordings.twin(recorded([0, 0.101, 0.199]))).toBe(first)
    expect(store.recordings.twin(recorded([0.05, 0.155, 0.249]))).toBeNull()
  })
})
