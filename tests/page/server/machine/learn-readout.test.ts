import { setTimeout as sleep } from 'node:timers/promises'
import { expect, it, onTestFinished } from 'vitest'
import type { PortsAnswer } from '../../../../src/page/api.js'
import type { LearningState, ReadoutsAnswer } from '../../../../src/page/readout-api.js'
import { servedStore } from '../../../harness/browser.js'
import { sendingReadout } from '../../../harness/live/sending-readout.js'
import { pageApi } from '../../../harness/page-api.js'
import { temporaryFolder } from '../../../harness/program.js'

/** How often the state is asked for, ms: asking without a pause would keep a processor busy. */
const ASK_EVERY_MS = 20

it('learns a readout whose labels are not those of the machine, with a known move, and keeps it', async () => {
  const usual = process.env.XDG_DATA_HOME
  process.env.XDG_DATA_HOME = temporaryFolder()
  onTestFinished(() => {
    if (usual === undefined) delete process.env.XDG_DATA_HOME
    else process.env.XDG_DATA_HOME = usual
  })
  const readout = sendingReadout((mm) => `Q${(-3.1).toFixed(3)} R${(mm / 25.4).toFixed(4)}`)
  const { served, axisId } = await servedStore([2], null, [readout.path])
  const { ask, tell } = pageApi(served)
  const until = async (fits: (state: LearningState) => boolean): Promise<LearningState> => {
    for (;;) {
      const state = await ask<LearningState>('learning')
      if (fits(state)) return state
      if (state.trouble !== null) throw new Error(state.trouble)
      await sleep(ASK_EVERY_MS)
    }
  }
  const { ports, cautions } = await ask<ReadoutsAnswer>('readouts')
  expect(ports).toContainEqual(
    expect.objectContaining({ path: readout.path, description: 'named at the start' }),
  )
  expect(cautions.length).toBeGreaterThan(0)
  await expect(tell('readout/learn', { port: '/etc/passwd', baudRate: null, framing: '' })).rejects.toThrow(
    /port-not-listed/,
  )
  await expect(tell('readout/moved', {})).rejects.toThrow(/readout-open/)

  await tell('readout/learn', { port: readout.path, baudRate: 9600, framing: '' })
  const heard = await until(({ status }) => status === 'heard')
  expect(heard.trials).toHaveLength(1)
  expect(heard.columns).toEqual([
    { column: 1, name: 'the number labelled Q' },
    { column: 2, name: 'the number labelled R' },
  ])
  await expect(
    tell('readout/move', { axisId, column: null, knownMove: '-1', moveError: '' }),
  ).rejects.toThrow(/Length of the move/)
  await tell('readout/move', { axisId, column: null, knownMove: '1in', moveError: '' })
  // A rest to begin with, then the move, then the rest that ends it: each is seen in the numbers.
  await until(({ watched }) => watched.length === 2)
  await readout.sent(70)
  readout.moveMm(25.4)
  await until(({ watched }) => Math.abs(Number(watched[1]?.moved)) > 0.999)
  await readout.sent(70)
  await tell('readout/moved', {})
  const learned = await until(({ status, trouble }) => status === 'learned' || trouble !== null)
  expect(learned.trouble).toBeNull()
  expect(learned.learned.join(' ')).toMatch(/The axis is the number labelled R\. The numbers are in\b/)
  await expect(tell('readout/save', { name: '../x', replace: false })).rejects.toThrow(/bad-profile-name/)
  await tell('readout/save', { name: 'bench-readout', replace: false })
  expect((await ask<LearningState>('learning')).status).toBe('closed')
  expect((await ask<PortsAnswer>('ports')).profiles.map(({ name }) => name)).toContain('bench-readout')
})
