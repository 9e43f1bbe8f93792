import { defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** What begins first: the longest jobs, then every other file that waits for programs, browsers and ports, then long calculations. */
const FIRST = [
  /\/tests\/page\/(?:whole-job|every-view|machine-place|film|sweep)/,
  /\/tests\/whole-jobs\/(?:program\/every-command|tables\/demo|live\/(?:practice|live-port|faults-port|crash))/,
  /\/tests\/(?:whole-jobs|page|ingest\/port)\//,
  /\/tests\/(?:proof|campaigns)\/|\/(?:shared-shape|read-film|session-effects|uncertainty-budget|recheck-runs)\.test/,
]

/** What waits and what takes long begins, so that at the end no processor is idle because one file still goes on. */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ moduleId }: TestSpecification): number => {
      const at = FIRST.findIndex((begins) => begins.test(moduleId))
      return at < 0 ? FIRST.length : at
    }
    return (await super.sort(files)).sort((a, b) => rank(a) - rank(b))
  }
}

export default defineConfig({
  test: {
    // Far beyond what any test takes: it ends what hangs, and judges no machine's speed.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    expect: { poll: { timeout: 120_000 } },
    // Files that wait use a third of a processor each, so six workers are what two processors have work for.
    maxWorkers: 6,
    sequence: { sequencer: LongestFirst },
    globalSetup: 'tests/harness/run-folder.ts',
    // Loading the modules anew for every file would take as long as the tests. So a test leaves behind nothing in them,
    // nor in its process: what it changes there (variables, the user, the clock) it puts back when it is over.
    isolate: false,
  },
})
