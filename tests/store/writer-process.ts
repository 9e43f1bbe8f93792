// A program of its own for the tests: appends lines to a new recording for ever and prints each number once it is
// acknowledged. Arguments: the store.
import { writeSync } from 'node:fs'
import { openStore } from '../../src/store/index.js'
import { newRecording } from './new-recording.js'

const store = openStore(process.argv[2] ?? '', { mode: 'write', busyTimeoutMs: 120_000 })
const { id } = store.recordings.start(
  newRecording(store.axes.resolve({}).axis.id, { note: `writer ${process.pid}` }),
)
for (let number = 0; ; number++) {
  store.recordings.appendLines(id, [{ timeS: number, text: `X ${number}` }])
  // Synchronous, so that what is printed was acknowledged before the process can be killed.
  writeSync(1, `${id} ${number}\n`)
}
