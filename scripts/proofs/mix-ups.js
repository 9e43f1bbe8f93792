// Proves by seeded simulation that right runs are kept and that runs in the wrong unit are not kept in silence.
// node scripts/proofs/mix-ups.js [--calls N], seven runs a call
import { parseArgs } from 'node:util'
import { bundled } from '../bundled.js'

const { values } = parseArgs({ options: { calls: { type: 'string', default: '150' } } })
const calls = Number(values.calls)
if (!(Number.isSafeInteger(calls) && calls > 0)) {
  throw new RangeError(`--calls takes a whole number, not ${values.calls}`)
}

const { checkedCall } = await bundled(`export { checkedCall } from './scripts/proof/mix-ups.js'`)

for (const how of ['right', 'swapped']) {
  const sum = { runs: 0, refused: 0, warned: 0 }
  for (let seed = 1; seed <= calls; seed += 1) {
    const call = checkedCall(how, 1000 * seed)
    for (const key of Object.keys(sum)) sum[key] += call[key]
  }
  console.log(
    `${how}: of ${sum.runs} runs ${sum.refused} refused, ${sum.warned} kept with a warning, ` +
      `${sum.runs - sum.refused - sum.warned} kept without a word`,
  )
}
