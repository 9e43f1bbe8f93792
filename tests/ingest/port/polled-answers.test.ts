import { describe, expect, test } from 'vitest'
import type { StampedLine } from '../../../src/ingest/index.js'
import { PolledAnswers } from '../../../src/ingest/port/polled-answers.js'
import { seededRandom } from '../../../src/simulation/index.js'

function ledger(intervalS = 0.1, answerTimeoutS = 0.5) {
  const answered: StampedLine[] = []
  const unasked: StampedLine[] = []
  const answers = new PolledAnswers({
    intervalS,
    answerTimeoutS,
    onAnswer: (line) => answered.push(line),
    onUnasked: (line) => unasked.push(line),
  })
  return { answers, answered, unasked }
}

describe('PolledAnswers', () => {
  test('stamps an answer with the middle of request and arrival, half the round trip to both sides', () => {
    const { answers, answered } = ledger()
    expect(answers.due(10)).toBe(true)
    answers.sent(10)
    answers.take({ timeS: 10.04, text: '1.000' })
    expect(answered).toHaveLength(1)
    expect(answered[0]!.timeS).toBeCloseTo(10.02, 12)
    expect(answered[0]!.withinS).toBeCloseTo(0.02, 12)
    expect(answers.counts.halfRoundTripS).toBeCloseTo(0.02, 12)
  })

  test('keeps the beat, and asks nothing while an answer is open', () => {
    const { answers } = ledger()
    answers.due(0)
    answers.sent(0)
    expect(answers.due(0.1)).toBe(false)
    expect(answers.due(0.3)).toBe(false)
    answers.take({ timeS: 0.03, text: '1' })
    expect(answers.due(0.09)).toBe(false)
    expect(answers.due(0.103)).toBe(true)
    answers.sent(0.103)
    answers.take({ timeS: 0.12, text: '1' })
    expect(answers.due(0.199)).toBe(false)
    expect(answers.due(0.2)).toBe(true)
  })

  test('counts a missing answer, waits another timeout, then asks again', () => {
    const { answers, answered } = ledger()
    answers.due(0)
    answers.sent(0)
    expect(answers.due(0.5)).toBe(false)
    expect(answers.counts.missing).toBe(1)
    expect(answers.due(0.99)).toBe(false)
    expect(answers.due(1)).toBe(true)
    answers.sent(1)
    answers.take({ timeS: 1.02, text: 'second' })
    // Held: it might be the answer that is owed.
    expect(answered).toEqual([])
    expect(answers.due(1.1)).toBe(true)
    answers.sent(1.1)
    expect(answered.map((line) => line.text)).toEqual(['second'])
    expect(answered[0]!.timeS).toBeCloseTo(1.01, 12)
  })

  test('refuses a late answer, before and after the next request', () => {
    const { answers, answered, unasked } = ledger()
    answers.due(0)
    answers.sent(0)
    answers.due(0.5)
    answers.take({ timeS: 0.7, text: 'first' })
    expect(answers.counts).toMatchObject({ late: 1, missing: 0 })
    expect(answers.due(0.7)).toBe(true)
    answers.sent(0.7)
    answers.due(1.2)
    answers.due(1.7)
    answers.sent(1.7)
    answers.take({ timeS: 1.71, text: 'second' })
    answers.take({ timeS: 1.75, text: 'third' })
    expect(unasked.map((line) => line.text)).toEqual(['first', 'second'])
    expect(answered.map((line) => line.text)).toEqual(['third'])
    expect(answers.counts).toMatchObject({ requests: 3, answers: 1, late: 2, missing: 0 })
  })

  test('a line that nobody asked for is refused and changes no count', () => {
    const { answers, unasked } = ledger()
    answers.take({ timeS: 1, text: 'boot' })
    expect(unasked).toHaveLength(1)
    expect(answers.counts).toEqual({ requests: 0, answers: 0, late: 0, missing: 0, halfRoundTripS: null })
  })

  // A simulated readout that answers in order: mostly soon, sometimes late, sometimes never. Its answers carry the
  // number of their request, so that every mistaken one shows.
  test.each([1, 2, 3, 4, 5, 6])('never takes an answer for that of another request (seed %i)', (seed) => {
    const random = seededRandom(seed)
    const timeoutS = 0.25
    const paired: string[] = []
    let asked = 0
    let open = 0
    const answers = new PolledAnswers({
      intervalS: 0.1,
      answerTimeoutS: timeoutS,
      onAnswer: (line) => {
        paired.push(line.text)
        const { atS } = requests[Number(line.text)]!
        // The reading was taken between the request and the answer.
        expect(atS).toBeGreaterThanOrEqual(line.timeS - line.withinS! - 1e-9)
        expect(atS).toBeLessThanOrEqual(line.timeS + line.withinS! + 1e-9)
      },
      onUnasked: () => {},
    })
    const requests: { readonly atS: number; readonly arrivesS: number }[] = []
    const arriving: { readonly timeS: number; readonly text: string }[] = []
    let freeS = 0
    for (let step = 0; step < 60_000; step += 1) {
      const nowS = step / 1000
      while (arriving.length > 0 && arriving[0]!.timeS <= nowS) answers.take(arriving.shift()!)
      if (!answers.due(nowS)) continue
      const { answers: given, late, missing } = answers.counts
      open = asked - given - late - missing
      // At most the held one, which has come, is not yet counted.
      expect(open).toBeLessThanOrEqual(1)
      answers.sent(nowS)
      const luck = random.uniform()
      const delayS = luck < 0.9 ? 0.02 + 0.02 * random.uniform() : 2 * timeoutS * random.uniform()
      const arrivesS = Math.max(freeS, nowS + delayS)
      requests.push({ atS: nowS + (arrivesS - nowS) / 2, arrivesS })
      if (random.uniform() > 0.05) {
        freeS = arrivesS
        arriving.push({ timeS: arrivesS, text: String(asked) })
      }
      asked += 1
    }
    const { requests: sent, answers: given, late, missing } = answers.counts
    expect(sent - given - late - missing).toBeLessThanOrEqual(1)
    expect(given).toBeGreaterThan(0.8 * sent)
    expect(late).toBeGreaterThan(5)
    expect(missing).toBeGreaterThan(5)
    expect(new Set(paired).size).toBe(paired.length)
  })
})
