import { MM_PER_LINE_UNIT } from './line-format.js'

/** A piece of a line. Blanks are no pieces; they only part them. */
interface LineToken {
  readonly kind: 'number' | 'label' | 'unit' | 'word' | 'mark' | 'checksum'
  readonly text: string
}

/** A number of a line with what stands around it. */
export interface NumberField {
  readonly text: string
  /** The label in front of it, as written, or null. */
  readonly label: string | null
}

/** One line taken apart. */
export interface LineTokens {
  readonly tokens: readonly LineToken[]
  readonly numbers: readonly NumberField[]
  /** The unit the line carries in small letters; null for none or for several that differ. */
  readonly unit: string | null
  /** The line with its numbers, units and free words blotted out: equal for lines of one shape. */
  readonly skeleton: string
}

/** Splits lines for one decimal mark; `axis` helps to see a label that a comma parts from its number. */
export function lineTokenizer(decimalMark: '.' | ',', axis: string): (text: string) => LineTokens {
  const mark = decimalMark === '.' ? '\\.' : ','
  const pieces = new RegExp(
    [
      '([A-Za-z]\\w*(?="?\\s*[:=]))',
      `([+-]?[ \\t]*(?:\\d+(?:${mark}\\d*)?|${mark}\\d+)(?:[eE][+-]?\\d{1,3}(?![\\d.]))?)`,
      '([A-Za-z\\u00b5]+)',
      '(\\*[0-9A-Fa-f]{2}(?=\\s*$))',
      '(\\S)',
    ].join('|'),
    'g',
  )
  const label = axis.toLowerCase()
  return (text) => {
    const tokens: LineToken[] = []
    for (const [, labelText, number, word, checksum, other] of text.matchAll(pieces)) {
      if (labelText !== undefined) tokens.push({ kind: 'label', text: labelText })
      else if (number !== undefined) tokens.push({ kind: 'number', text: number.trim() })
      else if (word !== undefined) tokens.push({ kind: 'word', text: word })
      else if (checksum !== undefined) tokens.push({ kind: 'checksum', text: checksum })
      else if (other !== undefined) tokens.push({ kind: 'mark', text: other })
    }
    return describe(tokens.map((token, index) => withRole(token, index, tokens, label)))
  }
}

/** Tells what a word or a quote is from its neighbours: the label of a number, its unit, or neither. */
function withRole(token: LineToken, index: number, tokens: readonly LineToken[], axis: string): LineToken {
  if (token.kind !== 'word' && token.text !== '"') return token
  const afterNumber = tokens[index - 1]?.kind === 'number'
  if (afterNumber && token.text.toLowerCase() in MM_PER_LINE_UNIT) return { kind: 'unit', text: token.text }
  if (token.kind !== 'word') return token
  const next = tokens[index + 1]
  if (next?.kind === 'number') return { kind: 'label', text: token.text }
  const partedByComma = (next?.text === ',' || next?.text === ';') && tokens[index + 2]?.kind === 'number'
  return partedByComma && token.text.toLowerCase() === axis ? { kind: 'label', text: token.text } : token
}

function describe(tokens: readonly LineToken[]): LineTokens {
  const numbers: NumberField[] = []
  const units = new Set<string>()
  let label: string | null = null
  let skeleton = ''
  for (const token of tokens) {
    if (token.kind === 'number') {
      numbers.push({ text: token.text, label })
      skeleton += ' #'
    } else if (token.kind === 'unit') {
      units.add(token.text.toLowerCase())
      skeleton += ' U'
    } else if (token.kind === 'word') {
      skeleton += ' w'
    } else if (token.kind === 'checksum') {
      skeleton += ' *HH'
    } else {
      skeleton += ` ${token.text}`
    }
    if (token.kind === 'label') label = token.text
    else if (token.kind !== 'mark') label = null
  }
  const [unit] = units
  return { tokens, numbers, unit: units.size === 1 ? unit! : null, skeleton }
}
