import { describe, expect, it } from 'vitest'
import type { StartAnswer } from '../../../../src/page/api.js'
import type { AdviceAnswer, PeopleAnswer, StopsAnswer } from '../../../../src/page/machine-api.js'
import { servedStore } from '../../../harness/browser.js'
import { pageApi } from '../../../harness/page-api.js'
import { programOn } from '../../../harness/program.js'
import { servedSimulatedMill } from '../../../harness/simulated-mill.js'

/** Text whose lines were broken to fit a terminal, in one. */
const unwrapped = (text: string): string => text.replace(/\s+/g, ' ')

describe('planning on the page', () => {
  it('says where the stop goes and how many runs a feed takes, as the command line does', async () => {
    const { axisId, served, path } = await servedSimulatedMill()
    const { tell } = pageApi(served)
    const stops = await tell<StopsAnswer>('stops', { axisId, unit: 'in', margin: '0.1' })
    const { stdout } = await programOn(path).run('stops', '--margin', '0.1in')
    expect(unwrapped(stdout)).toContain(stops.answer)
    expect(unwrapped(stdout)).toContain(stops.why[0])
    expect(stops.coasts.length).toBeGreaterThan(0)
    expect(stops.cautions.length).toBeGreaterThan(0)
    // What the command line says of its options, the page says of its places.
    expect(stops.limits.join(' ')).toMatch(/Record it at "Measure"/)
    expect([...stops.why, ...stops.limits].join(' ')).not.toMatch(/--[a-z]|tablepace /)
    await expect(tell('stops', { axisId, unit: 'in', margin: '-1' })).rejects.toThrow(/bad-margin/)

    const asked = { axisId, unit: 'in', feed: '6', within: '1', direction: 1 }
    const advice = await tell<AdviceAnswer>('advice', {
      ...asked,
      timedBy: { by: 'readout', rate: '10', step: '0.0002' },
    })
    const told = await programOn(path).run(
      ...['advise', '--feed', '6in/min', '--within', '1', '--direction', '+'],
      ...['--readout-rate', '10', '--readout-step', '0.0002'],
    )
    for (const sentence of [...advice.answer, ...advice.why.slice(0, 2)])
      expect(unwrapped(told.stdout)).toContain(sentence)
    await expect(
      tell('advice', { ...asked, feed: 'fast', timedBy: { by: 'stopwatch', person: '' } }),
    ).rejects.toThrow(/Feed: /)
  })

  it('keeps a timing test and offers its person', async () => {
    const { served } = await servedStore([1])
    const { ask, tell } = pageApi(served)
    const rounds = [0.1, 0.12, 0.11].map((startLateS) => ({ startLateS, stopLateS: startLateS + 0.01 }))
    await tell('practice', { person: 'Ann', rounds })
    const { people } = await ask<PeopleAnswer>('people')
    expect(people).toMatchObject([
      { person: 'Ann', rounds: 3, latenessS: expect.closeTo(0.115, 6), biasS: expect.closeTo(0.01, 6) },
    ])
    expect((await ask<StartAnswer>('start')).people).toEqual(['Ann'])
    await expect(tell('practice', { person: 'Ann', rounds: rounds.slice(1) })).rejects.toThrow(/bad-request/)
  })
})
