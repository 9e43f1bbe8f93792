import { describe, expect, it } from 'vitest'
import { notRecheckedSentences } from '../../src/words/index.js'

type Told = Parameters<typeof notRecheckedSentences>[0]

describe('notRecheckedSentences(report, further)', () => {
  it('names the table that the verdict says nothing of, and doubts it where the other has moved', () => {
    const report = (verdict: string) =>
      ({ notRechecked: [{ direction: -1, version: 3 }], outcome: { verdict } }) as unknown as Told
    const further = () => ': recheck it too'
    expect(notRecheckedSentences(report('holds'), further)).toEqual([
      'Direction - was not rechecked; its table 3 stays in force.',
    ])
    expect(notRecheckedSentences(report('moved'), further)).toEqual([
      'Direction - was not rechecked; its table 3 stays in force, but may have changed too: recheck it too.',
    ])
  })
})
