import { describe, expect, it } from 'vitest'
import { TablepaceError } from '../../src/errors/index.js'
import {
  NUMBERED,
  parseCuttingSpeedMPerMin,
  parseDialSetting,
  parseDirection,
  parseFeedAtRpmMmPerMin,
  parseFeedMmPerMin,
  parseLengthMm,
  parseMarks,
  parseNumber,
  parseRange,
  parseSpindleSpeeds,
} from '../../src/units/index.js'

/** Numbers and quantities as people write them; inches to mm worked by 1 in = 25.4 mm. */
const IN = 25.4

describe('what people write is read', () => {
  it.each([
    ['3', 3],
    ['3.5', 3.5],
    ['3,5', 3.5],
    ['0,125', 0.125],
    ['12,34', 12.34],
    ['-0.5', -0.5],
    ['−0.5', -0.5],
    ['.25', 0.25],
    ['1e-3', 0.001],
    ['3½', 3.5],
    ['3 ½', 3.5],
    ['3 1/2', 3.5],
    ['3-1/2', 3.5],
    ['3 - 1/2', 3.5],
    ['-3-1/2', -3.5],
    ['-½', -0.5],
    ['1/4', 0.25],
    ['¾', 0.75],
  ])('the number %s', (text, value) => {
    expect(parseNumber(text, 'dial')).toBe(value)
  })

  it.each([
    ['6in', 6 * IN],
    ['6 in.', 6 * IN],
    ['6"', 6 * IN],
    ['6″', 6 * IN],
    ['6 inches', 6 * IN],
    ['3-1/2in', 3.5 * IN],
    ['1/2"', IN / 2],
    ['20thou', 0.02 * IN],
    ['2ft', 24 * IN],
    ["2'", 24 * IN],
    ['1\' 6"', 18 * IN],
    ['1ft 6in', 18 * IN],
    ['1\'-6 1/2"', 18.5 * IN],
    ['150mm', 150],
    ['15cm', 150],
    ['0.15 m', 150],
    ['5um', 0.005],
    ['5µm', 0.005],
    ['152,4 mm', 152.4],
    ['6', 6 * IN],
  ])('the length %s', (text, mm) => {
    expect(parseLengthMm(text, 'in', 'travel')).toBeCloseTo(mm, 9)
  })

  it.each([
    ['7in/min', 7 * IN],
    ['7 ipm', 7 * IN],
    ['7"/min', 7 * IN],
    ['7inch/min', 7 * IN],
    ['7 inches per minute', 7 * IN],
    ['7 in a minute', 7 * IN],
    ['7 in. / min.', 7 * IN],
    ['7,5in/min', 7.5 * IN],
    ['0.1in/s', 6 * IN],
    ['2ft/min', 24 * IN],
    ['180mm/min', 180],
    ['3mm/s', 180],
    ['18cm/min', 180],
    ['0.18m/min', 180],
    ['7', 7 * IN],
  ])('the feed %s', (text, mmPerMin) => {
    expect(parseFeedMmPerMin(text, 'in', 'feed')).toBeCloseTo(mmPerMin, 9)
  })

  it.each([
    ['0.005in/rev', 1.6 * IN],
    ['0.005 ipr', 1.6 * IN],
    ['0.12mm/rev', 38.4],
    ['0,12 mm/r', 38.4],
    ['0.12 mm per turn', 38.4],
    ['7in/min', 7 * IN],
    ['0.005', 1.6 * IN],
  ])('the feed %s with the spindle at 320 rpm', (text, mmPerMin) => {
    expect(parseFeedAtRpmMmPerMin(text, 'in', 320, 'feed')).toBeCloseTo(mmPerMin, 9)
  })

  // SI brochure, 9th edition (2019), table 8: 1′ = (1/60)°, 1″ = (1/60)′; a turn is 360° by definition.
  it.each([
    ['90deg', 90],
    ['90°', 90],
    ['90 º', 90],
    ['22,5 degrees', 22.5],
    ['0.25rev', 90],
    ['0.25 turn', 90],
    ['1/4 turn', 90],
    ['2 turns', 720],
    ["12° 30'", 12.5],
    ['12deg 30', 12.5],
    ["-12° 30'", -12.5],
    [`12° 30' 18"`, 12.505],
    [`-12°30'18`, -12.505],
    [`30' 18"`, 0.505],
    ["30'", 0.5],
    ['90', 90],
  ])('the angle %s', (text, degrees) => {
    expect(parseLengthMm(text, 'deg', 'travel')).toBeCloseTo(degrees, 12)
  })

  it.each([
    ['30deg/min', 30],
    ['30°/min', 30],
    ['0.5deg/s', 30],
    ['30 degrees per minute', 30],
    ['0.5 rev/min', 180],
    ['0.5 rpm', 180],
    ['0.5 turns a minute', 180],
    ['30', 30],
  ])('the feed of an axis that turns, %s', (text, degreesPerMin) => {
    expect(parseFeedMmPerMin(text, 'deg', 'feed')).toBeCloseTo(degreesPerMin, 12)
    expect(parseFeedAtRpmMmPerMin(`${degreesPerMin / 320}deg/rev`, 'deg', 320, 'feed')).toBeCloseTo(
      degreesPerMin,
      9,
    )
  })

  it.each([
    ['90ft/min', 27.432],
    ['90 sfm', 27.432],
    ['27m/min', 27],
    ['25m/s', 1500],
  ])('the cutting speed %s', (text, mPerMin) => {
    expect(parseCuttingSpeedMPerMin(text, 'in', 'speed')).toBeCloseTo(mPerMin, 9)
  })

  it('dials, ranges, marks and spindle speeds', () => {
    expect(['3-1/2', 'Rapid', '30 %', '4,5'].map((text) => parseDialSetting(text, 'dial', NUMBERED))).toEqual(
      [3.5, 'rapid', 30, 4.5],
    )
    expect(['0..10', '-2 .. 2½', '0…100', '0...10'].map((text) => parseRange(text, 'dial'))).toEqual([
      { min: 0, max: 10 },
      { min: -2, max: 2.5 },
      { min: 0, max: 100 },
      { min: 0, max: 10 },
    ])
    expect(parseRange('A..h', 'dial')).toEqual({ min: 1, max: 8, lettered: true })
    expect(['1, 2,3½', '1 2  10', '7'].map((text) => parseMarks(text, 'marks', NUMBERED))).toEqual([
      [1, 2, 3.5],
      [1, 2, 10],
      [7],
    ])
    expect(parseMarks('1,5; 2 1/2;3', 'marks', NUMBERED)).toEqual([1.5, 2.5, 3])
    expect(parseSpindleSpeeds('95, 160, 60..4200', 'spindle')).toEqual([95, 160, [60, 4200]])
  })

  it.each([
    ['+', 1],
    ['plus', 1],
    ["'+", 1],
    ['-', -1],
    ['−', -1],
    ['–', -1],
    ['Minus', -1],
  ] as const)('the direction %s', (text, direction) => {
    expect(parseDirection(text, 'direction')).toBe(direction)
  })
})

describe('what is not read is told with what is', () => {
  const feed = (text: string) => parseFeedMmPerMin(text, 'in', 'feed')
  const length = (text: string) => parseLengthMm(text, 'in', 'travel')
  const angle = (text: string) => parseLengthMm(text, 'deg', 'travel')
  const turning = (text: string) => parseFeedMmPerMin(text, 'deg', 'feed')
  const dial = (text: string) => parseDialSetting(text, 'dial', NUMBERED)
  const marks = (text: string) => parseMarks(text, 'marks', NUMBERED)
  const range = (text: string) => parseRange(text, 'dial')
  const spindle = (text: string) => parseSpindleSpeeds(text, 'spindle')
  const direction = (text: string) => parseDirection(text, 'direction')

  it.each([
    [dial, '1,200', 'bad-number', /1200 or as 1\.2/, /no mark between thousands/],
    [dial, '1.200,5', 'bad-number', /not a number/, /decimal mark as a point/],
    [dial, '3 4', 'bad-number', /not a number/, /3-1\/2/],
    [dial, 'C', 'bad-number', /is a letter/, /first and the last of them, such as A\.\.H/],
    [dial, 'LO 4', 'bad-number', /not a number/, /names, such as LO and HI/],
    [dial, '3HI', 'bad-number', /not a number/, /names, such as LO and HI/],
    [marks, 'A,B,C', 'bad-number', /is a letter/, /A\.\.H/],
    [range, 'A..6', 'bad-range', /from A to 6/, /two numbers, or two letters/],
    [range, '0-10', 'bad-range', /not a range/, /0\.\.10/],
    [range, '0..', 'bad-range', /not a range/, /0\.\.10/],
    [range, '1..2..3', 'bad-range', /not a range/, /0\.\.10/],
    [marks, '2 1/2 5', 'bad-number', /list/, /by commas, such as 1, 2 1\/2, 3½, 5\./],
    [spindle, '95 160 280, 300', 'bad-number', /list/, /by commas: 95,160,280,300\./],
    [spindle, '4200..60', 'bad-range', /lower speed/, /60\.\.4200/],
    [marks, '1,,2', 'bad-number', /list/, /by commas: 1,2\./],
    [length, '6furlong', 'bad-unit', /unit of "6furlong"/, /6in, 6", 1' 6", 20thou, 150mm, 15cm or 0\.15m/],
    [length, '360°', 'bad-unit', /is an angle/, /add an axis that turns/],
    [length, 'x', 'bad-number', /no number/, /Lengths are read/],
    [length, '6in/min', 'bad-unit', /does not fit/, /Lengths are read/],
    [feed, '7mm', 'bad-unit', /does not fit/, /in\/min, ft\/min, in\/s, mm\/min/],
    [feed, '7furlong/week', 'bad-unit', /does not fit/, /m\/min and mm\/s/],
    [feed, '90deg/min', 'bad-unit', /a feed of an axis that turns/, /rotary table/],
    [angle, '6in', 'bad-unit', /is a length.*this axis turns/, /90deg, 90°, 12° 30' 15", 0\.25rev/],
    [angle, '6furlong', 'bad-unit', /unit of "6furlong"/, /Angles are read/],
    [angle, '30deg/min', 'bad-unit', /does not fit/, /Angles are read/],
    [turning, '7in/min', 'bad-unit', /a straight axis/, /deg\/min, deg\/s and rev\/min/],
    [turning, '90deg', 'bad-unit', /does not fit/, /30deg\/min or 0\.5rev\/min/],
    [turning, '0.2deg/rev', 'rpm-missing', /feed a turn/, /spindle speed/],
    [feed, '0.005in/rev', 'rpm-missing', /feed a turn/, /spindle speed/],
    [direction, 'left', 'bad-direction', /left/, /numbers of the readout grow.*stopwatch/],
    [direction, 'north', 'bad-direction', /north/, /Write \+/],
  ] as const)('%o of "%s"', (read, text, code, message, hint) => {
    let told: unknown = null
    try {
      read(text)
    } catch (error) {
      told = error
    }
    expect(told).toBeInstanceOf(TablepaceError)
    expect(told).toMatchObject({
      code,
      message: expect.stringMatching(message),
      hint: expect.stringMatching(hint),
    })
  })

  it.each([
    '',
    ' ',
    'x',
    '1/0',
    '1e999',
    'NaN',
    'Infinity',
    '3 4',
    '--2',
    '0x10',
    '5in',
    '1e17',
    '1e-13',
    '½½',
  ])('as a number "%s"', (text) => {
    expect(() => parseNumber(text, 'dial')).toThrow(TablepaceError)
  })
})
