import { basename } from 'node:path'
import { UsageError } from '../../../errors/index.js'
import { loadReadoutProfile } from '../../../ingest/index.js'
import { openTakes, portLink, recordReadoutTakes, recordStopwatchTakes } from '../../../jobs/index.js'
import { parseDialSetting, parseMarks } from '../../../units/index.js'
import type { ReadFileAnswer } from '../../machine-api.js'
import { axisOf, type Desk, nowIso } from '../desk.js'
import type { UploadHandler } from '../http/upload.js'
import { takeAnswer } from '../measure/page-run.js'

/** Recordings, stopwatch sheets and timed readings that a person hands over as a file. */
export function recordingUploads({ store, send }: Desk): [string, UploadHandler][] {
  return [
    [
      'POST /api/recordings',
      async (path, query): Promise<ReadFileAnswer> => {
        const axis = axisOf(store, query)
        const { unit } = axis
        const said = (name: string): string => query.get(name)?.trim() ?? ''
        const dial = said('dial') === '' ? null : parseDialSetting(said('dial'), 'Dial setting', axis)
        const profile = await profileNamed(said('profile'))
        const reading = {
          ...{ profile, bareUnit: unit, countLengthMm: null, machineUnit: unit },
          ...(profile === null ? {} : { baudRate: portLink(null, profile).baudRate }),
          turnedThrough:
            said('settings') === '' ? undefined : parseMarks(said('settings'), 'Settings in order', axis),
        }
        const takes = await openTakes([{ path, name: basename(path), dial }], axis, reading)
        const conditions = { dialReset: true, tags: {}, note: null, startedAt: nowIso() }
        const outcomes = [
          ...(await recordReadoutTakes(store, axis, takes.readout, conditions)),
          ...recordStopwatchTakes(store, axis, takes.stopwatch, conditions),
        ]
        send({ kind: 'changed', axisId: axis.id })
        return { notes: takes.notes, takes: outcomes.map(takeAnswer) }
      },
    ],
  ]
}

/** A profile by its name, never a file. @throws UsageError `bad-request`, `unknown-profile` */
async function profileNamed(name: string) {
  if (name === '') return null
  if (/^[\w-]{1,60}$/.test(name)) return loadReadoutProfile(name)
  throw new UsageError(
    'bad-request',
    'That is not the name of a readout profile.',
    'Choose one of those offered.',
  )
}
