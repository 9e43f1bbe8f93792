import { describe, expect, it } from 'vitest'
import { asKept, isAsStored, rowChecksum } from '../../../src/store/file/checksum.js'

describe('rowChecksum(table, row)', () => {
  it('is the check value of the catalogue of parametrised CRC algorithms (CRC-32/ISO-HDLC, from memory)', () => {
    expect(rowChecksum('123456789', {})).toBe(0xcbf43926)
  })

  const row = { id: 1, name: 'X', feed: 1.5, note: null }

  it('does not change with a column that was added later and is NULL, nor with the order of columns', () => {
    expect(rowChecksum('run', { later: null, feed: 1.5, name: 'X', id: 1 })).toBe(rowChecksum('run', row))
  })

  it('changes with the table, a value, a type, a column, and text that moves from one column to the next', () => {
    const others = [
      rowChecksum('axis', row),
      rowChecksum('run', { ...row, feed: 1.500001 }),
      rowChecksum('run', { ...row, id: '1' }),
      rowChecksum('run', { ...row, note: '' }),
      rowChecksum('run', { ...row, name: 'X\nnote string 0 ' }),
    ]
    expect(new Set([...others, rowChecksum('run', row)]).size).toBe(6)
  })

  it('finds every single bit that is flipped in a text', () => {
    const kept = { ...row, checksum: rowChecksum('run', row) }
    expect(isAsStored('run', kept)).toBe(true)
    const bytes = Buffer.from('{"feedMmPerMin":152.4}')
    const checksum = rowChecksum('run', { marks: bytes.toString() })
    for (let bit = 0; bit < 8 * bytes.length; bit += 1) {
      const flipped = Buffer.from(bytes)
      flipped[bit >> 3]! ^= 1 << (bit & 7)
      expect(isAsStored('run', { marks: flipped.toString(), checksum })).toBe(false)
    }
  })

  it('is not satisfied by a row without a checksum', () => {
    expect(isAsStored('run', row)).toBe(false)
    expect(isAsStored('run', { ...row, checksum: null })).toBe(false)
  })
})

it('asKept replaces what UTF-8 cannot hold, and nothing else', () => {
  expect([asKept('a\ud800b'), asKept('😀'), asKept(2), asKept(null)]).toEqual(['a\ufffdb', '😀', 2, null])
})
