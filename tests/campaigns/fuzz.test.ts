import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it, onTestFinished } from 'vitest'
import { fuzzCampaign } from '../../scripts/campaigns/fuzz.js'

// The long form is `npm run fuzz`.
it('takes odd inputs to every reader, or refuses them with an error of ours', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'tablepace-fuzz-'))
  const { XDG_DATA_HOME } = process.env
  onTestFinished(() => {
    rmSync(folder, { recursive: true, force: true })
    if (XDG_DATA_HOME === undefined) delete process.env.XDG_DATA_HOME
    else process.env.XDG_DATA_HOME = XDG_DATA_HOME
  })
  const report = await fuzzCampaign(folder, { inputs: 40, seed: 3 })
  expect(report.unforeseen).toEqual([])
  const { taken, refused } = [...report.readers.values()].reduce((sum, one) => ({
    taken: sum.taken + one.taken,
    refused: sum.refused + one.refused,
  }))
  expect([taken > 5, refused > 15]).toEqual([true, true])
})
