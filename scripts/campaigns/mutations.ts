import type { SeededRandom } from '../../src/simulation/index.js'

/** What people and programs write where a number should stand. */
const NUMBERS = [
  '0',
  '-0',
  '-1',
  '1e308',
  '-1e308',
  '1e309',
  '25e-320',
  '5e-324',
  'NaN',
  'Infinity',
  '-Infinity',
  'null',
  'true',
  '""',
  '"x"',
  '[]',
  '{}',
  '0x10',
  '1,5',
  '1.2.3',
  '9007199254740993',
  '99999999999999999999',
  '1e16',
  '1e-12',
  '½',
  '1/0',
  '1e5s',
  '3 1/2',
]
/** What may stand where a date or a name should. */
const TEXTS = [
  '',
  'x',
  '\u0000',
  '\u001b[31m',
  '\ud800',
  '9999-12-31T23:59:59Z',
  '0000-00-00T00:00:00Z',
  '-271821-04-20',
  '__proto__',
  'constructor',
  '../../etc/passwd',
  "'; DROP TABLE run; --",
  '=1+1',
  'ä'.repeat(300),
]

/** One of a list. */
export function pick<T>(random: SeededRandom, from: readonly T[]): T {
  const one = from[Math.floor(random.uniform() * from.length)]
  if (one === undefined) throw new RangeError('nothing to pick from')
  return one
}

/** A number as a person may write it, sound or not. */
export function oddNumber(random: SeededRandom): string {
  const sound = () => String(Number((10 ** (6 * random.uniform() - 3)).toPrecision(4)))
  return random.uniform() < 0.3 ? sound() : pick(random, NUMBERS)
}

export function oddText(random: SeededRandom): string {
  return random.uniform() < 0.5 ? pick(random, TEXTS) : oddNumber(random)
}

/** A sound file with a few things changed: bytes, ranges, lines, numbers, texts, depth, length. */
export function mutated(sound: Buffer, random: SeededRandom): Buffer {
  let bytes = sound
  for (let left = 1 + Math.floor(3 * random.uniform()); left > 0; left -= 1) {
    bytes = pick(random, MUTATIONS)(bytes, random)
  }
  return bytes
}

type Mutation = (bytes: Buffer, random: SeededRandom) => Buffer

const place = (bytes: Buffer, random: SeededRandom) => Math.floor(random.uniform() * (bytes.length + 1))

function range(bytes: Buffer, random: SeededRandom): [number, number] {
  const from = place(bytes, random)
  const longest = random.uniform() < 0.5 ? 8 : bytes.length
  return [from, Math.min(bytes.length, from + Math.ceil(random.uniform() * longest))]
}

function asText(change: (text: string, random: SeededRandom) => string): Mutation {
  return (bytes, random) => Buffer.from(change(bytes.toString('latin1'), random), 'latin1')
}

/** Replaces one of the matches. */
function replaceOne(text: string, pattern: RegExp, by: string, random: SeededRandom): string {
  const found = [...text.matchAll(pattern)]
  if (found.length === 0) return text
  const { index, 0: whole } = pick(random, found)
  return text.slice(0, index) + by + text.slice(index + whole.length)
}

const MUTATIONS: readonly Mutation[] = [
  (bytes, random) => {
    const changed = Buffer.from(bytes)
    const at = Math.min(place(bytes, random), bytes.length - 1)
    if (at >= 0) changed[at]! ^= 1 << Math.floor(8 * random.uniform())
    return changed
  },
  (bytes, random) => bytes.subarray(0, place(bytes, random)),
  (bytes, random) => {
    const [from, to] = range(bytes, random)
    return Buffer.concat([bytes.subarray(0, from), bytes.subarray(to)])
  },
  (bytes, random) => {
    const [from, to] = range(bytes, random)
    return Buffer.concat([bytes.subarray(0, to), bytes.subarray(from)])
  },
  (bytes, random) => {
    const at = place(bytes, random)
    const noise = Buffer.from(Array.from({ length: 6 }, () => Math.floor(256 * random.uniform())))
    return Buffer.concat([bytes.subarray(0, at), noise, bytes.subarray(at)])
  },
  asText((text, random) => replaceOne(text, /[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?/g, oddNumber(random), random)),
  asText((text, random) => replaceOne(text, /[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?/g, oddNumber(random), random)),
  asText((text, random) => replaceOne(text, /"[^"\n]*"/g, JSON.stringify(oddText(random)), random)),
  asText((text, random) => replaceOne(text, /[^,;\n]+(?=[,;\n])/g, oddText(random), random)),
  asText((text, random) =>
    replaceOne(text, /\[|\{/g, '['.repeat(10 ** Math.ceil(4 * random.uniform())), random),
  ),
  asText((text, random) => {
    const lines = text.split('\n')
    const line = pick(random, lines)
    return [...lines.slice(0, 3), ...Array.from({ length: 50 }, () => line), ...lines.slice(3)].join('\n')
  }),
]
