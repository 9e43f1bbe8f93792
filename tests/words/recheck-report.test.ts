import { describe, expect, it } from 'vitest'
import { COMMANDS } from '../../src/cli/wording.js'
import type { Wording } from '../../src/errors/index.js'
import { PLACES } from '../../src/page/wording.js'
import { notRecheckedSentences } from '../../src/words/index.js'

type Told = Parameters<typeof notRecheckedSentences>[0]

describe('notRecheckedSentences(report)', () => {
  it('names the table that the verdict says nothing of, and doubts it where the other has moved', () => {
    const report = (verdict: string) =>
      ({ notRechecked: [{ direction: -1, version: 3 }], outcome: { verdict } }) as unknown as Told
    const said = (verdict: string, wording: Wording) =>
      notRecheckedSentences(report(verdict)).map((one) => (typeof one === 'string' ? one : one.in(wording)))
    const holds = 'Direction - was not rechecked; its table 3 stays in force'
    expect(said('holds', COMMANDS)).toEqual([`${holds}.`])
    expect(said('moved', COMMANDS)).toEqual([
      `${holds}, but may have changed too: recheck it with --direction -.`,
    ])
    expect(said('moved', PLACES)).toEqual([`${holds}, but may have changed too.`])
  })
})
