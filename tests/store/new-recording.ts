import type { NewRecording } from '../../src/store/index.js'

export const NOW = '2026-03-02T09:00:00.000Z'

export function newRecording(axisId: number, changes: Partial<NewRecording> = {}): NewRecording {
  return {
    axisId,
    sessionId: null,
    step: null,
    source: 'readout',
    dial: 3,
    dialReset: true,
    origin: 'dial-3.jsonl',
    readout: { label: 'X', decimals: 3 },
    units: { unit: 'mm' },
    tags: {},
    note: null,
    startedAt: NOW,
    ...changes,
  }
}
