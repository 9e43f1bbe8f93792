import { readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { withoutComments } from './harness/without-comments.js'

/** The last column of the list of words in the contributor guide: what is said in another way by now. */
const retired = wordsIn(readFileSync('DEVELOPERS.md', 'utf8'))

/** Any of them as a word of its own. */
const anyRetired = new RegExp(`(?<![\\w-])(?:${retired.join('|')})(?![\\w-])`, 'gi')

function wordsIn(guide: string): string[] {
  const list = guide.split('\n## ').find((part) => part.startsWith('Words\n')) ?? ''
  const rows = list.split('\n').filter((line) => line.startsWith('| ') && !line.startsWith('| ---'))
  return rows.flatMap((row) => [...row.split('|')[3]!.matchAll(/`([^`]+)`/g)].map((match) => match[1]!))
}

const texts = [
  'README.md',
  ...['src', 'calibration'].flatMap((folder) =>
    readdirSync(folder, { recursive: true, encoding: 'utf8' })
      .filter((file) => /\.(tsx?|json|md|html)$/.test(file))
      .map((file) => `${folder}/${file}`),
  ),
]

test('the list of words names what was retired, and the search finds it', () => {
  expect(retired.length).toBeGreaterThan(25)
  expect(retired).toContain('anew')
  expect(found('set it anew')).toEqual(['anew'])
  expect(found('a renewed table')).toEqual([])
})

test('no retired word is left in what a person reads', () => {
  const left = texts.flatMap((file) =>
    withoutComments(readFileSync(file, 'utf8'))
      .split('\n')
      .flatMap((line, index) => found(line).map((word) => `${file}:${index + 1}: ${word}: ${line.trim()}`)),
  )
  expect(left).toEqual([])
})

function found(line: string): string[] {
  return [...new Set([...line.matchAll(anyRetired)].map(([word]) => word.toLowerCase()))]
}
