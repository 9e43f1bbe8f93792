import { expect, test } from 'vitest'
import { requestBytes } from '../../../src/ingest/port/polled-request.js'

test.each([
  ['GO\\r', [0x47, 0x4f, 0x0d]],
  ['GO\r', [0x47, 0x4f, 0x0d]],
  ['\\x05', [0x05]],
  ['R\\\\1\\t\\0\\n', [0x52, 0x5c, 0x31, 0x09, 0x00, 0x0a]],
  ['\\xfF', [0xff]],
])('requestBytes(%j) reads the escapes', (text, bytes) => {
  expect([...requestBytes(text)!]).toEqual(bytes)
})

test.each(['', '\\q', '\\x5', 'end\\', '\u2026', 'x'.repeat(65)])('requestBytes(%j) is refused', (text) => {
  expect(requestBytes(text)).toBeNull()
})
