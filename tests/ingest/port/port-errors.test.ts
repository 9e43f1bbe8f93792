import { expect, test } from 'vitest'
import { portError } from '../../../src/ingest/index.js'

// The texts that the serial library's native part gives on Linux, macOS and Windows: the Linux ones as
// seen from its version 13, the others from memory.
test.each<[string, NodeJS.Platform, string, RegExp]>([
  ['Error: No such file or directory, cannot open /dev/ttyUSB0', 'linux', 'port-not-found', /list the ports/],
  ['Opening COM3: File not found', 'win32', 'port-not-found', /COM3.*driver/],
  [
    'Error: Permission denied, cannot open /dev/ttyUSB0',
    'linux',
    'port-permission',
    /dialout.*uucp.*log out/,
  ],
  ['Error: Resource temporarily unavailable Cannot lock port', 'linux', 'port-busy', /other program/],
  ['Opening COM3: Access denied', 'win32', 'port-busy', /other program/],
  ['bad file descriptor', 'linux', 'port-vanished', /cable/],
  ['Writing to COM port (GetOverlappedResult): Operation aborted', 'win32', 'port-failed', /baud rate/],
])('portError of %j on %s is %s', (text, platform, code, hint) => {
  const cause = new Error(text)
  const error = portError('THE-PORT', cause, platform)
  expect(error).toMatchObject({ code, exitCode: 5, cause })
  expect(error.message).toMatch(/^The(?:re is no)? serial port THE-PORT/)
  expect(error.hint).toMatch(hint)
  expect(error.hint).not.toMatch(/chmod|sudo/)
})
