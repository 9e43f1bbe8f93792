import { performance } from 'node:perf_hooks'
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import { median } from 'simple-statistics'

/**
 * Median times of several jobs in ms, run in turn so that a busy moment hits all of them alike. The first round
 * warms up and is not counted.
 */
export function interleavedMs(jobs, repeats) {
  const times = Object.fromEntries(Object.keys(jobs).map((name) => [name, []]))
  for (let round = 0; round <= repeats; round += 1) {
    for (const [name, job] of Object.entries(jobs)) {
      const from = performance.now()
      job()
      if (round > 0) times[name].push(performance.now() - from)
    }
  }
  return Object.fromEntries(Object.entries(times).map(([name, each]) => [name, median(each)]))
}

/** Bytes of heap in use once all garbage is gone. */
export function settledHeapBytes() {
  setFlagsFromString('--expose-gc')
  runInNewContext('gc')()
  return process.memoryUsage().heapUsed
}

export function ms(value) {
  return `${value.toFixed(value < 10 ? 2 : 0)} ms`
}

export function mib(bytes) {
  return `${(bytes / 2 ** 20).toFixed(1)} MiB`
}
