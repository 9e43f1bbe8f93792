import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, normalize } from 'node:path'
import { expect, test } from 'vitest'

/** The floors from the ground up, as DEVELOPERS.md lists them; faces stand side by side at the top. */
const FLOORS = [
  ['errors', 'types'],
  ['files', 'text', 'units'],
  ['numbers'],
  ['ingest'],
  ['traverse'],
  ['regression'],
  ['store'],
  ['planning'],
  ['pictures', 'simulation'],
  ['export'],
  ['selfcheck'],
  ['jobs'],
  ['words'],
  ['library', 'cli', 'page'],
]

const sources = readdirSync('src', { recursive: true, encoding: 'utf8' }).filter((file) =>
  /\.tsx?$/.test(file),
)
const floorOf = (file: string) => file.split('/')[0]!
const heightOf = (file: string) => FLOORS.findIndex((names) => names.includes(floorOf(file)))

/** `serve` is where the command line ends and the page begins. */
const BETWEEN_FACES = ['cli/commands/serve.ts']

/** Every import of a file of ours by another, as paths below src. */
const imports = sources.flatMap((file) =>
  [...readFileSync(join('src', file), 'utf8').matchAll(/(?:from|import\()\s*'(\.[^']+)'/g)].map((found) => ({
    file,
    imported: normalize(join(dirname(file), found[1]!)),
  })),
)

test('every folder of src is a floor of the house', () => {
  expect([...new Set(sources.map(floorOf))].filter((name) => heightOf(name) === -1)).toEqual([])
})

test('a floor imports from the floors below it alone, and the faces nothing from one another', () => {
  const wrong = imports.filter(({ file, imported }) => {
    if (floorOf(file) === floorOf(imported) || imported.startsWith('..')) return false
    return heightOf(imported) >= heightOf(file)
  })
  expect(wrong.filter(({ file }) => !BETWEEN_FACES.includes(file))).toEqual([])
})
