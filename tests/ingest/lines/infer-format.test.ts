import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type InferenceHints, inferFormat, parseLine, type StampedLine } from '../../../src/ingest/index.js'
import { howMany } from '../../harness/proof-mode.js'

const HINTS: InferenceHints = { axis: 'x', bareUnit: 'mm' }

/** A table that rests, moves by `feed` a line and rests again: 20 + 60 + 20 positions in mm. */
function move(startMm: number, feedMm: number): number[] {
  return Array.from({ length: 100 }, (_, i) => startMm + feedMm * Math.min(Math.max(i - 20, 0), 60))
}

/** Stamps texts at 10 lines a second. */
function stamp(texts: readonly string[]): StampedLine[] {
  return texts.map((text, i) => ({ timeS: 100 + i / 10, text }))
}

function read(text: string, lines: readonly string[], hints: Partial<InferenceHints> = {}) {
  return parseLine(text, inferFormat(stamp(lines), { ...HINTS, ...hints }).format)
}

const position = (result: ReturnType<typeof parseLine>) =>
  typeof result === 'string' ? result : result.positionMm

describe('inferFormat finds the axis', () => {
  test.each([
    ['joined to its label', (v: string) => `X${v}`],
    ['after a colon', (v: string) => `X: ${v}`],
    ['after an equals sign', (v: string) => `x=${v}`],
    ['after a comma', (v: string) => `X,${v}`],
    ['behind a word of its own', (v: string) => `ABS X ${v}`],
    ['among other axes', (v: string) => `Y-1.250 X${v} Z+0.000`],
    ['in a JSON object', (v: string) => `{"y":-1.250,"x":${v}}`],
    ['as the only number', (v: string) => v],
    ['under a name of its own', (v: string) => `POS: ${v}`],
    ['as the one column that moves', (v: string) => `5.000;${v};-3.125`],
  ])('%s', (_, line) => {
    const lines = move(1, 0.25).map((v) => line(v.toFixed(3)))
    expect(position(read(line('12.345'), lines))).toBe(12.345)
  })

  test('by its label and not by what moves', () => {
    const lines = move(1, 0.25).map((v) => `X5.000 Y${v.toFixed(3)}`)
    expect(position(read('X5.000 Y7.000', lines, { axis: 'Y' }))).toBe(7)
    expect(position(read('X5.000 Y7.000', lines))).toBe(5)
  })

  test('where the axes take turns, one a line, and passes over the others', () => {
    const lines = move(1, 0.25).flatMap((v) => [`X${v.toFixed(3)}`, 'Y-1.000'])
    expect(position(read('X9.000', lines))).toBe(9)
    expect(read('Y-1.000', lines)).toBe('other-axis')
    expect(read('Y-1.0', lines)).toBe('garbled')
  })

  test('by what moves, where the machine calls the axis by a name of its own', () => {
    const lines = move(1, 0.25).map((v) => `X5.000 Y${v.toFixed(3)}`)
    expect(position(read('X5.000 Y7.000', lines, { axis: 'table' }))).toBe(7)
  })

  test.each(['x', 'X'])('before a checksum of two hexadecimal digits', (letters) => {
    const lines = move(1, 0.25).map((v, i) => {
      const hex = ((37 * i) % 256).toString(16).padStart(2, '0')
      return `X${v.toFixed(3)}*${letters === 'X' ? hex.toUpperCase() : hex}`
    })
    for (const line of lines) expect(read(line, lines)).toBeTypeOf('object')
    expect(read('X1.250*', lines)).toBe('garbled')
    expect(read('X1.250*5g', lines)).toBe('garbled')
  })

  test('with blanks between sign and digits', () => {
    const lines = move(-9, 0.25).map((v) => `X ${v < 0 ? '-' : '+'} ${Math.abs(v).toFixed(3)}`)
    expect(position(read('X -  0.500', lines))).toBe(-0.5)
  })

  test('or says which labels there are', () => {
    const lines = move(1, 0.25).map((v) => `Y${v.toFixed(3)} Z0.000`)
    expect(() => read('', lines)).toThrow(/carry Y, Z but nothing labelled x/)
  })

  test('or asks for a profile where several columns move, or none does', () => {
    const both = move(1, 0.25).map((v) => `${v.toFixed(3)} ${(2 * v).toFixed(3)}`)
    expect(() => read('', both)).toThrow(/Columns 1 and 2 all move/)
    expect(() => read('', Array(50).fill('1.000 2.000'))).toThrow(/None of the 2 numbers in a line moves/)
  })
})

describe('inferFormat finds the unit', () => {
  // 1 in = 25.4 mm exactly: the international inch; UCUM defines [in_i] as 2.54 cm.
  test.each([
    ['mm', 1],
    ['in', 25.4],
    ['inch', 25.4],
    ['IN', 25.4],
    ['"', 25.4],
    ['\u00b5m', 0.001],
  ])('%s in the line', (unit, mm) => {
    const lines = move(1, 0.25).map((v) => `X: ${v.toFixed(3)} ${unit}`)
    expect(position(read(`X: 10.000 ${unit}`, lines, { bareUnit: 'mm' }))).toBe(10 * mm)
    expect(position(read(`X: 10.000 ${unit}`, lines, { bareUnit: 'in' }))).toBe(10 * mm)
  })

  test('at the end of a line of several axes', () => {
    const lines = move(1, 0.25).map((v) => `X${v.toFixed(3)} Y1.000 in`)
    expect(position(read('X10.000 Y1.000 in', lines))).toBe(254)
  })

  test('of bare numbers from the hints, or as counts of a length', () => {
    const lines = move(100, 25).map((v) => `${v}`)
    expect(position(read('200', lines, { bareUnit: 'in' }))).toBe(5080)
    expect(position(read('200', lines, { countLengthMm: 0.005 }))).toBe(1)
    expect(() => read('', ['X1.0mm', 'X1.1mm', 'X1.2mm'], { countLengthMm: 0.005 })).toThrow(
      /carry the unit mm/,
    )
  })

  test('anew in each line where the readout is switched midway', () => {
    const mm = move(1, 0.25).map((v) => `${v.toFixed(3)} mm`)
    const inches = move(16, 0.25).map((v) => `${(v / 25.4).toFixed(5)} in`)
    expect(position(read('10.000 mm', [...mm, ...inches]))).toBe(10)
    expect(position(read('10.00000 in', [...mm, ...inches]))).toBe(254)
    expect(read('10.000 in', [...mm, ...inches])).toBe('garbled')
  })
})

describe('inferFormat finds the clock of the readout', () => {
  test.each([
    ['first', 32, (t: number, v: string) => `${t},${v}`],
    ['last', 32, (t: number, v: string) => `${v} ${t}`],
    ['labelled', 32, (t: number, v: string) => `T${t} X${v}`],
    ['first', 16, (t: number, v: string) => `${t % 65536} ${v}`],
    ['last', 16, (t: number, v: string) => `X${v},${t % 65536}`],
  ])('in the %s column, %i bit', (_, bits, line) => {
    const start = bits === 32 ? 104_000 : 60_500
    const lines = stamp(move(1, 0.25).map((v, i) => line(start + 100 * i, v.toFixed(3))))
    const { format, conclusions } = inferFormat(lines, HINTS)
    expect(format.ticks).toEqual({ secondsPerTick: 0.001, bits })
    expect(parseLine(line(4321, '10.000'), format)).toEqual({ positionMm: 10, ticks: 4321 })
    expect(conclusions.join(' ')).toContain(`own clock in ms, ${bits} bit wide`)
  })

  test.each([
    ['\u00b5s', 1e-6, (ms: number) => String(1000 * ms + 37)],
    ['s', 1, (ms: number) => (ms / 1000).toFixed(2)],
    ['s behind a decimal comma', 1, (ms: number) => (ms / 1000).toFixed(2).replace('.', ',')],
  ])('in %s', (unit, secondsPerTick, write) => {
    const comma = unit.includes('comma')
    const lines = move(1, 0.25).map((v, i) => {
      const position = comma ? v.toFixed(3).replace('.', ',') : v.toFixed(3)
      return `${write(104_000 + 100 * i)} ${position}`
    })
    const { format, conclusions } = inferFormat(stamp(lines), HINTS)
    expect(format.ticks?.secondsPerTick).toBe(secondsPerTick)
    expect(position(parseLine(lines[50]!, format))).toBe(move(1, 0.25)[50])
    expect(conclusions.join(' ')).toContain(`own clock in ${unit.split(' ')[0]}`)
    // A table may move at the pace of a clock in s, and nothing else moves yet.
    const rest = stamp(lines.slice(0, 20))
    if (secondsPerTick === 1)
      expect(() => inferFormat(rest, HINTS)).toThrow(/runs like a clock in s, but could also be/)
    else expect(position(parseLine(lines[10]!, inferFormat(rest, HINTS).format))).toBe(1)
  })

  test('in s, and not the table that moves by 1 mm/s beside one in ms', () => {
    const lines = Array.from({ length: 200 }, (_, i) => `${(2 + i / 10).toFixed(3)} ${5000 + 100 * i}`)
    const { format } = inferFormat(stamp(lines), HINTS)
    expect(parseLine('9.000 12000', format)).toEqual({ positionMm: 9, ticks: 12000 })
  })

  test('in s, and not the table that moves by 1 mm/s beside a counter of lines', () => {
    const lines = Array.from({ length: 100 }, (_, i) => `${i + 100} ${(2 + i / 10).toFixed(3)}`)
    const { format } = inferFormat(stamp(lines), HINTS)
    expect(parseLine('250 9.000', format)).toEqual({ positionMm: 9, ticks: null })
  })

  test('or asks where counts run at the pace of the clock, until they rest', () => {
    const counts = Array.from({ length: 60 }, (_, i) => 4000 + 99 * Math.min(i, 40))
    const lines = counts.map((count, i) => `${count} ${70_000 + 100 * i}`)
    expect(() => inferFormat(stamp(lines.slice(0, 20)), HINTS)).toThrow(
      /Columns 1 and 2 both run like a clock/,
    )
    const { format } = inferFormat(stamp(lines), HINTS)
    expect(parseLine('4500 71000', format)).toEqual({ positionMm: 4500, ticks: 71_000 })
  })

  test('beside a comma as the only separator', () => {
    const lines = stamp(move(1000, 25).map((v, i) => `${v},${10_000 + 100 * i}`))
    const { format } = inferFormat(lines, HINTS)
    expect(parseLine('1500,12345', format)).toEqual({ positionMm: 1500, ticks: 12345 })
  })

  test('but takes no line counter, and no position, for one', () => {
    const counted = inferFormat(stamp(move(1, 0.25).map((v, i) => `${i} ${v.toFixed(3)}`)), HINTS)
    expect(counted.format.ticks).toBeNull()
    expect(parseLine('7 10.000', counted.format)).toEqual({ positionMm: 10, ticks: null })
    const counts = inferFormat(stamp(move(1000, 25).map((v) => `${v} 700`)), HINTS)
    expect(counts.format.ticks).toBeNull()
  })
})

describe('inferFormat finds the decimal mark', () => {
  test('a comma before always the same count of digits is one', () => {
    const lines = move(1, 0.25).map((v) => v.toFixed(3).replace('.', ','))
    expect(position(read('12,345', lines))).toBe(12.345)
    expect(position(read('-0,005', lines))).toBe(-0.005)
  })

  test('a comma beside points parts numbers', () => {
    expect(
      position(
        read(
          '12.345,5.000',
          move(1, 0.25).map((v) => `${v.toFixed(3)},5.000`),
        ),
      ),
    ).toBe(12.345)
  })

  test('a comma before a changing count of digits is refused, except among counts', () => {
    const lines = move(1000, 25).map((v, i) => `${v},${10 ** (i % 3)}`)
    expect(() => read('', lines)).toThrow(/comma may be a decimal mark or may separate two numbers/)
    expect(() => read('', lines, { countLengthMm: 0.005 })).toThrow(/Columns 1 and 2 all move/)
  })

  test('a comma before decimals is one also where the table moves by about 1 mm a line', () => {
    const lines = Array.from({ length: 100 }, (_, i) => (-0.9496 * i).toFixed(3).replace('.', ','))
    expect(position(read('-12,345', lines))).toBe(-12.345)
    // Of the first lines none begins with a zero: they could be counts beside a counter.
    expect(() => read('', lines.slice(1, 17))).toThrow(
      /comma may be a decimal mark or may separate two numbers/,
    )
  })

  test('a comma beside a line counter parts numbers', () => {
    expect(
      position(
        read(
          '1200,17',
          move(1000, 25).map((v, i) => `${v},${i + 10}`),
        ),
      ),
    ).toBe(1200)
  })
})

describe('inferFormat survives damage', () => {
  const good = move(1, 0.25).map((v) => `X${v < 0 ? '-' : '+'}${Math.abs(v).toFixed(4).padStart(8, '0')}`)

  test('a fifth of the lines cut, doubled or overwritten change nothing', () => {
    const damaged = good.map((line, i) => {
      if (i % 15 === 3) return line.slice(0, 5)
      if (i % 15 === 7) return line + line
      if (i % 15 === 11) return `${line.slice(0, 3)}?${line.slice(4)}`
      return line
    })
    expect(inferFormat(stamp(damaged), HINTS)).toEqual(inferFormat(stamp(good), HINTS))
  })

  test('a long rest at one value does not outvote the motion', () => {
    const lines = [...Array(3000).fill('0'), ...Array.from({ length: 300 }, (_, i) => String((i + 1) / 8))]
    const { format, conclusions } = inferFormat(stamp(lines), HINTS)
    expect(['0', '0.125', '0.5', '12.25'].map((text) => position(parseLine(text, format)))).toEqual([
      0, 0.125, 0.5, 12.25,
    ])
    expect(conclusions.join(' ')).toContain('drop their trailing zeros')
  })

  test('nothing but noise is refused in plain words', () => {
    expect(() => inferFormat(stamp(['\u0000\u0001', '~~~', 'abc']), HINTS)).toThrow(/None of the 3 lines/)
    const noise = Array.from({ length: 40 }, (_, i) =>
      '!#%&=?'.slice(i % 6).concat(`${i}`, '$/('.slice(i % 3)),
    )
    expect(() => inferFormat(stamp(noise), HINTS)).toThrow(/no common shape/)
  })
})

describe('inferFormat and parseLine together', () => {
  const shape = fc.record({
    label: fc.constantFrom('', 'X', 'X:', 'X: ', 'x='),
    sign: fc.constantFrom('minus', 'always'),
    decimals: fc.integer({ min: 1, max: 5 }),
    padded: fc.boolean(),
    others: fc.constantFrom('', ' Y+1.250', ',Y:-3.125'),
    unit: fc.constantFrom('', 'mm', ' in', '"'),
    comma: fc.boolean(),
  })
  type Shape = typeof shape extends fc.Arbitrary<infer S> ? S : never

  function write(value: number, { label, sign, decimals, padded, others, unit, comma }: Shape): string {
    const digits = Math.abs(value)
      .toFixed(decimals)
      .padStart(padded ? decimals + 5 : 0, '0')
    const number = `${value < 0 ? '-' : sign === 'always' ? '+' : ''}${digits}`
    const line = `${label}${number}${unit}${label === '' ? '' : others}`
    return comma && !others.startsWith(',') ? line.replaceAll('.', ',') : line
  }
  const mmPer = ({ unit }: Shape) => (unit === ' in' || unit === '"' ? 25.4 : 1)
  const start = fc.integer({ min: -400, max: 400 })

  test('the value sent is the value read', () => {
    fc.assert(
      fc.property(shape, start, fc.integer({ min: -9_000_000, max: 9_000_000 }), (made, from, sent) => {
        const lines = move(from, 0.37).map((v) => write(v, made))
        const value = sent / 10 ** Math.max(made.decimals, 4)
        const text = write(value, made)
        const shown = Number(value.toFixed(made.decimals))
        expect(position(read(text, lines))).toBeCloseTo(shown * mmPer(made), 9)
      }),
      { seed: 3, numRuns: howMany(150, 300) },
    )
  })

  test('a line cut short is never taken for another number', () => {
    fc.assert(
      fc.property(shape, start, fc.integer({ min: -9999, max: 9999 }), (made, from, sent) => {
        const lines = move(from, 0.37).map((v) => write(v, made))
        const text = write(sent / 10, made)
        const { format } = inferFormat(stamp(lines), HINTS)
        for (let length = 0; length < text.length; length += 1) {
          const cut = parseLine(text.slice(0, length), format)
          if (text.slice(length).trim() !== '') expect(cut, text.slice(0, length)).toBeTypeOf('string')
        }
      }),
      { seed: 4, numRuns: howMany(150, 300) },
    )
  })
})
