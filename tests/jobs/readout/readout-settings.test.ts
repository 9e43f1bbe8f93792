import { expect, test } from 'vitest'
import { expectedWireTime, ingestLines, sessionTiming } from '../../../src/ingest/index.js'
import {
  ingestOptions,
  type ReadoutSettings,
  settingsOf,
  storedSettings,
} from '../../../src/jobs/readout/readout-settings.js'

const SETTINGS: ReadoutSettings = {
  profile: null,
  bareUnit: 'mm',
  countLengthMm: 0.005,
  fromSpreadsheet: false,
  baudRate: 115_200,
}

const stored = (settings: ReadoutSettings) =>
  settingsOf(JSON.parse(JSON.stringify(storedSettings(settings))) as ReturnType<typeof storedSettings>)

test('settings come back from the store as they were', () => {
  expect(stored(SETTINGS)).toEqual(SETTINGS)
  const { baudRate: _, ...before } = SETTINGS
  expect(stored(before)).toEqual(before)
})

test('a known baud rate tells how long a byte may take on the wire, also when judged again', () => {
  const lines = Array.from({ length: 100 }, (_, i) => ({ timeS: i / 10, text: String(990 + i) }))
  const take = ingestLines(lines, ingestOptions(stored(SETTINGS), { name: 'X' }))
  expect(sessionTiming([take]).wireTime).toEqual(expectedWireTime(115_200))
  const { baudRate: _, ...unknown } = SETTINGS
  const other = ingestLines(lines, ingestOptions(stored(unknown), { name: 'X' }))
  expect(sessionTiming([other]).wireTime).toEqual(expectedWireTime())
  // Recordings of one session that came over different wires.
  expect(sessionTiming([take, other]).wireTime).toEqual(expectedWireTime())
})
