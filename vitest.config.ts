import { defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** Folders whose tests wait: for programs, browsers and ports. */
const WAITING = /\/tests\/(?:whole-jobs|page|ingest\/port)\//

/** Those that wait begin, so that at the end no processor is idle because one file still waits. */
class WaitingFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files)
    const waits = ({ moduleId }: TestSpecification): boolean => WAITING.test(moduleId)
    return [...sorted.filter(waits), ...sorted.filter((file) => !waits(file))]
  }
}

export default defineConfig({
  test: {
    // Far beyond what any test takes: it ends what hangs, and judges no machine's speed.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    expect: { poll: { timeout: 120_000 } },
    // Whole-job tests wait for processes half of their time, so two processors have work for four workers.
    maxWorkers: 4,
    sequence: { sequencer: WaitingFirst },
    globalSetup: 'tests/harness/run-folder.ts',
    // Loading the modules anew for every file would take as long as the tests. So a test leaves behind nothing in them,
    // nor in its process: what it changes there (variables, the user, the clock) it puts back when it is over.
    isolate: false,
  },
})
