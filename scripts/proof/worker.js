// Does the jobs it is sent, one after the other, in a thread of its own.
import { parentPort } from 'node:worker_threads'
import { bundled } from '../bundled.js'

const { runJob } = await bundled("export { runJob } from './scripts/proof/jobs.js'")
parentPort.on('message', (job) => parentPort.postMessage(runJob(job)))
parentPort.postMessage('ready')
