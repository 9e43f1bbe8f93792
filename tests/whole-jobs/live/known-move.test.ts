import { join } from 'node:path'
import { expect, it, onTestFinished } from 'vitest'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { openTerminal } from '../../harness/live/terminal.js'
import { programOn, temporaryFolder } from '../../harness/program.js'

/** A readout that sends its position 40 times a second, in mm with three decimals and no unit. */
function sendingReadout() {
  const device = openPtyReadout()
  let positionMm = 0
  const sending = setInterval(
    () => device.write(Buffer.from(`X+${positionMm.toFixed(3).padStart(7, '0')}\r\n`)),
    25,
  )
  onTestFinished(() => {
    clearInterval(sending)
    device.close()
  })
  return {
    path: device.path,
    moveTo: (toMm: number) => {
      positionMm = toMm
    },
  }
}

async function inchMachine(): Promise<{ store: string; readout: ReturnType<typeof sendingReadout> }> {
  const store = join(temporaryFolder(), 'store.db')
  const { json } = programOn(store)
  await json('machine', 'add', 'Bench', '--units', 'in')
  await json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--pitch', '0.2in')
  return { store, readout: sendingReadout() }
}

it('one turn of the handle shows on a terminal that the numbers are mm', async () => {
  const { store, readout } = await inchMachine()
  const traverse = ['traverse', '--dial', '8', '--port', readout.path, '--yes']
  const terminal = openTerminal(['--store', store, ...traverse])
  await terminal.waitFor(/turn\s+the\s+handle\s+one\s+full\s+turn\s+\(pitch\s+0\.200\s+in\)/)
  await terminal.waitFor(/Moved\s+\(1\s+turn,\s+0\.5in;\s+leave\s+empty\s+to\s+carry\s+on\s+without\)/)
  terminal.type('1 turn\r')
  await terminal.waitFor(/The readout did not move/)
  readout.moveTo(5.02)
  // The move has to arrive before it is typed: what is shown of it tells.
  for (;;) {
    terminal.type('1 turn\r')
    const said = await terminal.waitFor(/did not move|its numbers are mm/)
    if (said === 'its numbers are mm') break
  }
  await terminal.waitFor(/Listening on/)
  // A position is shown: by then lines have come.
  await terminal.waitFor(/in\/min/)
  terminal.type('\u0003')
  expect(await terminal.ended).toBe(1)
  expect(terminal.screen()).toMatch(/The table never moved/)
})

it('nothing is asked without a terminal, nor where the unit is said', async () => {
  const { store, readout } = await inchMachine()
  const said = openTerminal([
    ...['--store', store, 'traverse', '--dial', '8', '--port', readout.path, '--yes', '--unit', 'mm'],
  ])
  await said.waitFor(/Listening on/)
  said.type('\u0003')
  await said.ended
  expect(said.screen()).not.toMatch(/one full turn/)
  const { run } = programOn(store)
  const { stderr } = await run('traverse', '--dial', '8', '--port', readout.path, '--yes', '--for', '2s')
  expect(stderr).toMatch(/Listening on/)
  expect(stderr).not.toMatch(/one full turn/)
})

it('watching takes bare numbers in the unit of the machine', async () => {
  const { store, readout } = await inchMachine()
  readout.moveTo(4)
  const { run } = programOn(store)
  const { stdout, stderr } = await run('readout', 'watch', '--port', readout.path, '--for', '3s', '--json')
  expect((JSON.parse(stdout || stderr) as { position: unknown }).position).toEqual({ value: 4, unit: 'in' })
})
