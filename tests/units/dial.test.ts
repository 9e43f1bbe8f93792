import { describe, expect, it } from 'vitest'
import {
  enteredDial,
  formatDial,
  labelled,
  NUMBERED,
  parseDialNumber,
  parseDialSetting,
  parseEnds,
  parseMarks,
  parseRange,
  parseRangeNames,
  rangedSetting,
  settingInRange,
  writeDial,
} from '../../src/units/index.js'

const LETTERED = { lettered: true } as const

describe('a dial of numbers', () => {
  it('is written as it is read off the knob, and in full where it was entered so', () => {
    expect([3.5, 4.0049, 'rapid' as const].map((dial) => formatDial(dial, NUMBERED))).toEqual([
      '3.5',
      '4',
      'rapid',
    ])
    expect(writeDial(3.125, NUMBERED)).toBe('3.125')
  })

  it('refuses letters, and ranges beside a number, with what to do', () => {
    expect(() => parseDialSetting('C', '--dial', NUMBERED)).toThrow(
      '--dial: "C" is a letter, and this dial carries numbers.',
    )
    expect(() => parseDialSetting('HI 4', '--dial', NUMBERED)).toThrow('"HI 4" is not a number')
    expect(() => parseDialNumber('rapid', 'dial', NUMBERED)).toThrow('not a setting of the dial')
  })
})

describe('a dial of letters', () => {
  it('takes letters in any case, and rapid', () => {
    expect(['A', 'c', ' Z ', 'Rapid'].map((text) => parseDialSetting(text, 'dial', LETTERED))).toEqual([
      1,
      3,
      26,
      'rapid',
    ])
    expect(parseDialNumber('h', 'dial', LETTERED)).toBe(8)
  })

  it.each(['3', '2.5', 'AB', 'LO 3', ''])('refuses %j in one sentence', (text) => {
    expect(() => parseDialSetting(text, '--dial', LETTERED)).toThrow(
      `--dial: "${text}" is not a letter, and this dial carries letters.`,
    )
  })

  it('reads what it writes', () => {
    for (let dial = 1; dial <= 26; dial++) {
      expect(parseDialSetting(formatDial(dial, LETTERED), 'dial', LETTERED)).toBe(dial)
    }
    expect(formatDial('rapid', LETTERED)).toBe('rapid')
    expect(formatDial(2.5, LETTERED)).toBe('2.5')
  })

  it('has its ends and its marks from letters, every letter where none are named', () => {
    expect(parseRange('a..H', '--dial')).toEqual({ min: 1, max: 8, lettered: true })
    expect(() => parseRange('A..8', '--dial')).toThrow('a dial cannot go from A to 8')
    expect(parseMarks('A, c,D', '--marks', LETTERED)).toEqual([1, 3, 4])
    expect(parseMarks('A B  C', '--marks', LETTERED)).toEqual([1, 2, 3])
    const ends = parseEnds('A', 'D', 'low', 'high')
    expect(enteredDial(ends, null, 'marks', false)).toEqual({
      ...{ dialMin: 1, dialMax: 4, marks: [1, 2, 3, 4], stepped: true, lettered: true },
    })
    expect(enteredDial(ends, 'A,D', 'marks', false).marks).toEqual([1, 4])
    expect(() => enteredDial(ends, '1,2', 'marks', false)).toThrow('"1" is not a letter')
    expect(enteredDial({ min: 0, max: 10 }, null, 'marks', false)).toEqual({
      ...{ dialMin: 0, dialMax: 10, marks: [], stepped: false, lettered: false },
    })
  })

  it('adds its letters to a document, and leaves that of a dial of numbers alone', () => {
    const document = {
      runs: [{ dial: 3, feed: { value: 2 } }, { dial: 'rapid' }],
      dial: { value: 8, interval95: null },
    }
    expect(labelled(document, LETTERED)).toEqual({
      runs: [{ dial: 3, label: 'C', feed: { value: 2 } }, { dial: 'rapid' }],
      dial: { value: 8, interval95: null, label: 'H' },
    })
    expect(labelled(document, NUMBERED)).toBe(document)
  })
})

describe('the ranges of a dial', () => {
  it('lets the name of its own range stand beside a setting, and no other', () => {
    const high = { range: { of: 'X', name: 'HI' } }
    expect(parseDialSetting('HI 4', 'Dial', high)).toBe(4)
    expect(parseDialSetting('4hi', 'Dial', high)).toBe(4)
    expect(parseDialSetting('HI rapid', 'Dial', high)).toBe('rapid')
    expect(parseDialSetting('hi c', 'Dial', { ...high, lettered: true })).toBe(3)
    expect(parseMarks('HI 2, hi 4,6', '--settings', high)).toEqual([2, 4, 6])
    for (const parse of [parseDialSetting, parseMarks]) {
      expect(() => parse('LO 4', 'Dial', high)).toThrow(
        expect.objectContaining({ hint: expect.stringContaining('This axis is the range HI of X') }),
      )
    }
    expect(settingInRange('4', 'HI')).toBe('HI 4')
    expect(settingInRange('4', undefined)).toBe('4')
  })

  it('are named freely, never by numbers', () => {
    expect(parseRangeNames('LO, HI', '--ranges')).toEqual(['LO', 'HI'])
    expect(parseRangeNames('L,M,H', '--ranges')).toEqual(['L', 'M', 'H'])
    for (const text of ['1,2', 'LO', 'LO,lo', 'LO,', 'A B,C']) {
      expect(() => parseRangeNames(text, '--ranges')).toThrow('does not name the ranges of a dial')
    }
  })

  it.each([
    ['HI 4', 'HI', '4'],
    ['4 hi', 'HI', '4'],
    ['LO3', 'LO', '3'],
    ['3.5lo', 'LO', '3.5'],
    ['lo 3 1/2', 'LO', '3 1/2'],
    ['HI c', 'HI', 'c'],
  ])('%s is a setting in a range', (text, range, setting) => {
    expect(rangedSetting(text, ['LO', 'HI'])).toEqual({ range, setting })
  })

  it.each(['4', 'HI', 'rapid', 'MID 4', 'L'])('%s names none', (text) => {
    expect(rangedSetting(text, ['LO', 'HI', 'L'])).toBeNull()
  })
})
