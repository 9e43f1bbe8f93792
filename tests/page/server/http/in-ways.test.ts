import { describe, expect, it } from 'vitest'
import { inWays } from '../../../../src/page/server/http/in-ways.js'

const WAYS = { plus: 'left', minus: 'right' }
const sent = (answer: unknown, ways: typeof WAYS | null) => JSON.parse(JSON.stringify(answer, inWays(ways)))

describe('answers in the words of the user', () => {
  it('name the way behind each direction, once', () => {
    const answer = {
      said: ['Direction - is not covered.', 'from direction + to direction −, dial 4'],
      compared: 'direction + (left) against direction − (right)',
      numbers: [1, -2],
      none: null,
    }
    expect(sent(answer, WAYS)).toEqual({
      said: ['Direction − (right) is not covered.', 'from direction + (left) to direction − (right), dial 4'],
      compared: 'direction + (left) against direction − (right)',
      numbers: [1, -2],
      none: null,
    })
  })

  it('print the sign of each direction, also where nobody has named the ways', () => {
    expect(
      sent(
        {
          said: 'In direction - the curve is least sure. The worst place is dial 2.12 -, known to ± 13 %.',
          ranges: ['dial 3 - 5', 'direction -1', 'dial 4 -5'],
        },
        null,
      ),
    ).toEqual({
      said: 'In direction − the curve is least sure. The worst place is dial 2.12 −, known to ± 13 %.',
      ranges: ['dial 3 - 5', 'direction -1', 'dial 4 -5'],
    })
  })

  it('leave alone what is no direction', () => {
    expect(sent('direction +3 or directions - that is all', WAYS)).toBe(
      'direction +3 or directions - that is all',
    )
  })
})
