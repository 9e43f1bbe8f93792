import { describe, expect, it } from 'vitest'
import { standingWarnings } from '../../../src/planning/index.js'
import { mark, STRAIGHT, table } from '../sample-tables.js'

const ODD = { code: 'odd-run', message: 'One run lies apart.', runIds: ['01A'] }
const swapped = [mark(2, 40), mark(4, 90), mark(6, 60), mark(8, 130), mark(10, 190)]

describe('standingWarnings(table)', () => {
  it('repeats what stands against the answers, and nothing else that the fit said', () => {
    const few = { code: 'marks-far-apart', message: 'Few.' }
    expect(standingWarnings({ ...STRAIGHT, warnings: [few, ODD] })).toEqual([ODD])
    expect(standingWarnings(STRAIGHT)).toEqual([])
  })

  it('looks at the order itself where no fit has said so', () => {
    const [broken] = standingWarnings(table({ marks: swapped }))
    expect(broken).toMatchObject({ code: 'order-broken', message: expect.stringContaining('4, 6') })
    const told = { code: 'order-broken', message: 'As the fit said it.', runIds: ['01B'] }
    expect(standingWarnings(table({ marks: swapped, warnings: [told] }))).toEqual([told])
  })

  it('has nothing against a falling dial, nor against a stepped one without an order', () => {
    const falling = [mark(1, 190), mark(2, 130), mark(3, 60)]
    expect(standingWarnings(table({ marks: falling }))).toEqual([])
    const any = [mark(1, 50), mark(2, 200), mark(3, 30), mark(4, 150), mark(5, 60)]
    expect(standingWarnings(table({ marks: any, stepped: true }))).toEqual([])
  })
})
