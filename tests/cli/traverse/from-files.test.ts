import { describe, expect, it } from 'vitest'
import { namedFiles } from '../../../src/cli/traverse/from-files.js'
import { NUMBERED } from '../../../src/units/index.js'

describe('namedFiles({ from })', () => {
  it('takes FILE, DIAL=FILE, fractions and rapid', () => {
    expect(
      namedFiles({ from: ['a.jsonl', '4=b.jsonl', '3½=c.csv', '3 1/2=d.csv', 'rapid=e.jsonl'] }, NUMBERED),
    ).toEqual([
      { path: 'a.jsonl', dial: null },
      { path: 'b.jsonl', dial: 4 },
      { path: 'c.csv', dial: 3.5 },
      { path: 'd.csv', dial: 3.5 },
      { path: 'e.jsonl', dial: 'rapid' },
    ])
  })

  it('leaves equals signs and drive letters in paths alone', () => {
    expect(
      namedFiles({ from: ['runs/dial=4.jsonl', 'C:\\runs\\a=b.csv', '4=C:\\runs\\a=b.csv'] }, NUMBERED),
    ).toEqual([
      { path: 'runs/dial=4.jsonl', dial: null },
      { path: 'C:\\runs\\a=b.csv', dial: null },
      { path: 'C:\\runs\\a=b.csv', dial: 4 },
    ])
  })

  it('takes a letter where the dial carries letters, and tells of one that it does not', () => {
    expect(namedFiles({ from: ['C=a.jsonl', 'h=b.jsonl'] }, { lettered: true })).toEqual([
      { path: 'a.jsonl', dial: 3 },
      { path: 'b.jsonl', dial: 8 },
    ])
    expect(() => namedFiles({ from: ['C=a.jsonl'] }, NUMBERED)).toThrow('"C" is a letter')
  })

  it('reads the range of a dial beside its setting', () => {
    const high = { range: { of: 'X', name: 'HI' } }
    expect(namedFiles({ from: ['HI 4=a.jsonl', '6 hi=b.jsonl', 'HI 4.jsonl'] }, high)).toEqual([
      { path: 'a.jsonl', dial: 4 },
      { path: 'b.jsonl', dial: 6 },
      { path: 'HI 4.jsonl', dial: null },
    ])
    expect(() => namedFiles({ from: ['3=a.jsonl'] }, { lettered: true })).toThrow('"3" is not a letter')
  })
})
