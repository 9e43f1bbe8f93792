import * as z from 'zod'
import { FileError, UsageError } from '../errors/index.js'
import { readGivenText } from '../ingest/index.js'

const ItemSchema = z.looseObject({
  id: z.string().min(1),
  title: z.string(),
  source: z.string(),
  status: z.enum(['published', 'common practice', 'from memory']),
})

const CaseFileSchema = z.object({ topic: z.string().min(1), items: z.array(z.unknown()) })

/** One item of a case file; what stands beside these fields is read by the runner of its topic. */
export type CaseItem = z.infer<typeof ItemSchema>

interface CaseFile {
  readonly path: string
  readonly topic: string
  /** As they stand in the file; `readItem` reads each. */
  readonly items: readonly unknown[]
}

/**
 * Reads a file of published cases: `{ "topic", "items": [{ "id", "title", "source", "status", … }] }`.
 *
 * @throws FileError `cases-unreadable` when it cannot be read or is not JSON
 * @throws UsageError `bad-case` where it has no topic or no list of items
 */
export function readCaseFile(path: string): CaseFile {
  let content: unknown
  try {
    content = JSON.parse(
      readGivenText(path, {
        code: 'cases-unreadable',
        message: `${path} cannot be read.`,
        hint: 'Name a JSON file of check cases, as in fixtures/references.',
      }),
    )
  } catch (cause) {
    if (cause instanceof FileError) throw cause
    throw new FileError(
      'cases-unreadable',
      `${path} cannot be read as JSON: ${cause instanceof Error ? cause.message : String(cause)}`,
      'Name a JSON file of check cases, as in fixtures/references.',
      { cause },
    )
  }
  const parsed = CaseFileSchema.safeParse(content)
  if (parsed.success) return { path, ...parsed.data }
  const issue = parsed.error.issues[0]
  throw badCase(path, 'file', fieldName(issue?.path ?? []), issue?.message ?? '')
}

/**
 * Reads the fields that every item has.
 *
 * @throws UsageError `bad-case` naming file, item and field
 */
export function readItem(path: string, content: unknown, index: number): CaseItem {
  const parsed = ItemSchema.safeParse(content)
  if (parsed.success) return parsed.data
  const issue = parsed.error.issues[0]
  throw badCase(path, itemName(content, index), fieldName(issue?.path ?? []), issue?.message ?? '')
}

/**
 * Reads the fields that a runner needs from an item.
 *
 * @throws UsageError `bad-case` naming file, item and field
 */
export function parseItem<T>(path: string, item: CaseItem, schema: z.ZodType<T>): T {
  const parsed = schema.safeParse(item)
  if (parsed.success) return parsed.data
  const issue = parsed.error.issues[0]
  throw badCase(path, item.id, fieldName(issue?.path ?? []), issue?.message ?? '')
}

/** A case that cannot be run, with the place of the fault. */
export function badCase(path: string, id: string, field: string, problem: string): UsageError {
  const place = field === '' ? '' : `, field "${field}"`
  return new UsageError(
    'bad-case',
    `${path}, item "${id}"${place}: ${problem}`,
    'Give it the shape of the cases of the same topic in fixtures/references.',
  )
}

/** What an item is called in a message: its id, or its place in the file where it has none. */
export function itemName(item: unknown, index: number): string {
  return isRecord(item) && typeof item.id === 'string' ? item.id : String(index)
}

function fieldName(path: readonly PropertyKey[]): string {
  return path.map(String).join('.')
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
