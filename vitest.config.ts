import { resolve } from 'node:path'
import { defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** Folders whose tests wait: for programs, browsers and ports. The others calculate. */
const WAITING = /\/tests\/(?:whole-jobs|page|ingest\/port)\//

/** The longest files of both kinds, which begin, so that at the end no processor is idle because one file still goes on. */
const LONGEST = [
  /\/tests\/page\/(?:whole-job|every-view|machine-place|film|sweep)/,
  /\/tests\/whole-jobs\/(?:program\/every-command|tables\/demo|live\/(?:practice|live-port|faults-port|crash))/,
  /\/tests\/(?:proof|campaigns)\//,
  /\/(?:shared-shape|read-film|session-effects|uncertainty-budget|recheck-runs|advise|coverage|disturbed-\w+)\.test/,
]

/** The longest first, and those that calculate spread among those that wait, so that the processors always have work. */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files)
    const isLong = ({ moduleId }: TestSpecification): boolean => LONGEST.some((long) => long.test(moduleId))
    const byLength = [...sorted.filter(isLong), ...sorted.filter((file) => !isLong(file))]
    const waits = ({ moduleId }: TestSpecification): boolean => WAITING.test(moduleId)
    const kinds = [byLength.filter(waits), byLength.filter((file) => !waits(file))]
    return kinds
      .flatMap((kind) => kind.map((file, index) => ({ file, share: index / kind.length })))
      .sort((a, b) => a.share - b.share)
      .map(({ file }) => file)
  }
}

export default defineConfig({
  test: {
    // Far beyond what any test takes: it ends what hangs, and judges no machine's speed.
    testTimeout: 600_000,
    hookTimeout: 600_000,
    expect: { poll: { timeout: 120_000 } },
    // Measured on a quiet machine with two processors: four workers end in 370 s and eight in 395 s, because each loads
    // the modules and a browser for itself.
    maxWorkers: 4,
    // Room for what is soon forgotten, MiB: a twentieth less work for calculations, as simulations leave much behind
    // (shared-shape and read-film together, by processor time).
    execArgv: ['--max-semi-space-size=32', `--import=${resolve('tests/harness/source-for-import.ts')}`],
    // Node itself loads the sources, without Vite between.
    experimental: { viteModuleRunner: false, nodeLoader: false },
    sequence: { sequencer: LongestFirst },
    globalSetup: 'tests/harness/run-folder.ts',
    // Loading the modules anew for every file would take as long as the tests. So a test leaves behind nothing in them,
    // nor in its process: what it changes there (variables, the user, the clock) it puts back when it is over.
    isolate: false,
  },
})
