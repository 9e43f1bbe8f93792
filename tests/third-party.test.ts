import { execFileSync } from 'node:child_process'
import { expect, test } from 'vitest'

test('THIRD-PARTY.md names every package that the page bundles, with its notice', () => {
  const check = () => execFileSync(process.execPath, ['scripts/third-party.js', '--check'], { stdio: 'pipe' })
  expect(check).not.toThrow()
})
