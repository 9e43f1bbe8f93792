import { describe, expect, it } from 'vitest'
import type { CutView, MaterialsAnswer } from '../../../../src/page/api.js'
import { servedStore } from '../../../harness/browser.js'
import { pageApi } from '../../../harness/page-api.js'
import { programOn } from '../../../harness/program.js'

const NOTHING = {
  ...{ direction: '', material: '', cutterMaterial: 'hss', diameter: '0.5', teeth: '4' },
  ...{ speed: '', chipLoad: '', width: '', depth: '', cornerRadius: '', motor: '' },
}

describe('a cut on the page', () => {
  it('comes to what the command line comes to', async () => {
    const { store, axisId, served } = await servedStore([2])
    const { ask, tell } = pageApi(served)
    const [material] = (await ask<MaterialsAnswer>('materials')).materials
    const cut = await tell<CutView>('cut', {
      ...NOTHING,
      axisId,
      unit: 'in',
      material,
      width: '0.1',
      depth: '0.2',
    })
    const told = await programOn(store.path).json<{
      spindle: { wantedRpm: number; setRpm: number }
      feed: { atSetRpm: { value: number } }
      warnings: string[]
    }>(
      ...['cut', '--diameter', '0.5', '--teeth', '4', '--material', material!],
      '--cutter-material',
      'hss',
      '--width',
      '0.1',
      '--depth',
      '0.2',
    )
    const { plan, dial } = cut.answer
    expect(plan.spindle.setRpm).toBeCloseTo(told.spindle.setRpm, 9)
    expect(plan.spindle.wantedRpm).toBeCloseTo(told.spindle.wantedRpm, 9)
    expect(plan.feedMmPerMin.atSetRpm! / 25.4).toBeCloseTo(told.feed.atSetRpm.value, 9)
    expect(cut.warnings).toEqual(told.warnings)
    // No table has been fitted, and the page says so.
    expect(dial).toBeNull()
    expect(cut.cautions.join(' ')).toMatch(/starting point/)
    expect(cut.sources.length).toBeGreaterThan(2)
  })

  it('answers every kind of cutter as the command line does, and stops at the same limits', async () => {
    const { store, axisId, served } = await servedStore([2])
    const { tell } = pageApi(served)
    for (const [cutter, diameter, teeth, depth, stickOut, push] of [
      ['face mill', '3', '5', '', '', ''],
      ['slitting saw', '3', '40', '0.25', '', ''],
      ['drill', '0.5', '', '', '', ''],
      ['turning', '1.5', '', '', '', ''],
      ['end mill', '0.25', '4', '0.25', '4', ''],
      ['end mill', '0.5', '4', '0.2', '', '20lbf'],
    ] as const) {
      const asked = {
        ...NOTHING,
        axisId,
        unit: 'in',
        material: 'stainless steel',
        cutter,
        diameter,
        teeth,
        depth,
      }
      const cut = await tell<CutView>('cut', { ...asked, stickOut, push })
      const given = { '--teeth': teeth, '--depth': depth, '--stick-out': stickOut, '--push': push }
      const told = await programOn(store.path).json<{
        spindle: { setRpm: number | null }
        feed: { wanted: { value: number } }
        chipLoad: { value: number }
        limits: { code: string; stops: boolean }[]
        warnings: string[]
        sources: string[]
      }>(
        ...['cut', '--cutter', cutter, '--diameter', diameter, '--material', 'stainless steel'],
        ...['--cutter-material', 'hss'],
        ...Object.entries(given).flatMap(([option, text]) => (text === '' ? [] : [option, text])),
      )
      expect(cut.answer.plan.spindle.setRpm).toEqual(told.spindle.setRpm)
      expect(cut.answer.plan.feedMmPerMin.wanted / 25.4).toBeCloseTo(told.feed.wanted.value, 9)
      expect(cut.answer.chipLoad.chipLoadMm / 25.4).toBeCloseTo(told.chipLoad.value, 9)
      expect(cut.answer.limits.map(({ limit, stops }) => ({ limit, stops }))).toEqual(
        told.limits.map(({ code, stops }) => ({ limit: code, stops })),
      )
      expect([cut.warnings, cut.sources]).toEqual([told.warnings, told.sources])
      // Nothing that a user of the page reads names an option or a command.
      expect([...cut.warnings, ...cut.sources, ...cut.changes, cut.noDial].join(' ')).not.toMatch(
        /--[a-z]|tablepace /,
      )
    }
  })

  it('keeps what happened at a cut, and starts from a good one the next time', async () => {
    const { axisId, served } = await servedStore([2])
    const { tell } = pageApi(served)
    const asked = { ...NOTHING, axisId, unit: 'in', material: 'low-carbon steel' }
    const note = {
      ...{ axisId, unit: 'in', cutter: 'end mill', pass: 'roughing', material: 'low-carbon steel' },
      ...{ cutterMaterial: 'hss', diameter: '0.5', teeth: '4', rpm: '480', feed: '4.8' },
      ...{ width: '', depth: '', outcome: 'good', finish: '', note: '' },
    }
    const { text } = await tell<{ text: string }>('cut/note', note)
    expect(text).toMatch(/a good cut at 480 rpm and 4\.80 in\/min/)
    const cut = await tell<CutView>('cut', asked)
    expect(cut.chipLoadMm / 25.4).toBeCloseTo(0.0025, 9)
    expect(cut.sources.join(' ')).toMatch(/your own note of a good cut on \d{4}-\d\d-\d\d/)
    await expect(tell('cut/note', { ...note, rpm: 'fast' })).rejects.toThrow(/Spindle speed: /)
  })

  it('names its own fields where something is wrong', async () => {
    const { axisId, served } = await servedStore([2])
    const { tell } = pageApi(served)
    const asked = { ...NOTHING, axisId, unit: 'in' }
    await expect(tell('cut', { ...asked, diameter: 'big' })).rejects.toThrow(/Diameter of the cutter: /)
    await expect(tell('cut', asked)).rejects.toThrow(/Cutting speed 90ft\/min/)
    await expect(tell('cut', { ...asked, diameter: '12' })).rejects.toThrow(/Diameter of the cutter 12mm/)
  })
})
