import { expect, test } from 'vitest'
import { browserOpener, type Surroundings } from '../../src/cli/open-browser.js'

const DESK: Surroundings = { env: { DISPLAY: ':0' }, platform: 'linux', isTerminal: true }

test.each([
  [DESK, 'xdg-open'],
  [{ ...DESK, env: { WAYLAND_DISPLAY: 'wayland-0' } }, 'xdg-open'],
  [{ ...DESK, platform: 'darwin', env: {} }, 'open'],
  [{ ...DESK, platform: 'win32', env: {} }, 'rundll32'],
] as const)('a browser is opened at a desk: %o', (surroundings, program) => {
  expect(browserOpener(surroundings)?.[0]).toBe(program)
})

test.each([
  ['without a display', { ...DESK, env: {} }],
  ['in a script', { ...DESK, isTerminal: false }],
  [
    'over a network',
    { ...DESK, env: { DISPLAY: 'localhost:10.0', SSH_CONNECTION: '192.0.2.1 50000 192.0.2.2 22' } },
  ],
  ['over a network on a Mac', { ...DESK, platform: 'darwin', env: { SSH_TTY: '/dev/ttys001' } }],
  ['where tests run', { ...DESK, env: { DISPLAY: ':0', VITEST: 'true' } }],
  ['where a server builds', { ...DESK, env: { DISPLAY: ':0', CI: 'true' } }],
] as const)('no browser is opened %s', (_, surroundings) => {
  expect(browserOpener(surroundings)).toBeNull()
})
