import { copyFileSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { checkStore } from '../../../src/jobs/care/doctor-store.js'
import { openStore, type Store } from '../../../src/store/index.js'
import { fillGoldenStore } from '../golden-store.js'
import { newRecording } from '../new-recording.js'
import { temporaryFolder } from '../store-samples.js'

const OLD_STORES = new URL('../../../fixtures/stores/', import.meta.url)

/** A store in whose file a few letters of the description of its tables were changed, and its place. */
function described(words: string, otherwise: string): { path: string; store: Store } {
  const path = join(temporaryFolder(), 'store.db')
  const whole = openStore(path, { mode: 'write' })
  fillGoldenStore(whole)
  whole.close()
  const text = readFileSync(path, 'latin1')
  expect(text).toContain(words)
  writeFileSync(path, text.replaceAll(words, otherwise), 'latin1')
  const store = openStore(path, { mode: 'write' })
  onTestFinished(() => store.close())
  return { path, store }
}

describe('the description of the tables', () => {
  it.each(readdirSync(OLD_STORES).filter((name) => name.endsWith('.db')))(
    'is the program’s own in %s, brought to today',
    (name) => {
      const path = join(temporaryFolder(), name)
      copyFileSync(new URL(name, OLD_STORES), path)
      const store = openStore(path, { mode: 'write' })
      onTestFinished(() => store.close())
      expect(store.integrityCheck()).toEqual({ sound: true, problems: [] })
    },
  )

  it('with another limit lets no row in and is named', () => {
    const { path, store } = described(
      'id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 26)',
      'id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 24)',
    )
    expect(store.integrityCheck().problems).toContain("The store's description of recording was changed.")
    expect(() => store.recordings.start(newRecording(1))).toThrow(
      expect.objectContaining({
        code: 'store-damaged',
        message: expect.stringContaining('its description of'),
      }),
    )
    expect(checkStore(path)[0]).toMatchObject({ state: 'bad', finding: expect.stringContaining('recording') })
  })

  it('with another name of a column is named, also where no row can be read by it', () => {
    const { path, store } = described('checksum INTEGER', 'chec5sum INTEGER')
    expect(() => store.recordings.list(1)).toThrow(expect.objectContaining({ code: 'store-damaged' }))
    const found = checkStore(path)
    expect(found.map(({ state }) => state)).not.toContain('ok')
    expect(found.map(({ finding }) => finding).join(' ')).toMatch(/description of recording/)
  })
})
