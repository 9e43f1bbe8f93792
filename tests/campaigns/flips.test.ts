import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it, onTestFinished } from 'vitest'
import { flipCampaign } from '../../scripts/campaigns/flips.js'

// The long form is `npm run flips`.
it('gives no other number and no error but damage for single flipped bits of a store and its log', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'tablepace-flips-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  const report = await flipCampaign(folder, { flips: 5, seed: 5, everyFit: 5 })
  expect(report.silent).toEqual([])
  expect(report.unforeseen).toEqual([])
  expect(report.doctorFailed).toEqual([])
  expect(report.refused).toBeGreaterThan(2)
  expect(report.named).toBeGreaterThanOrEqual(report.refused)
})
