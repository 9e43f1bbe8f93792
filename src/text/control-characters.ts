import { UsageError } from '../errors/index.js'

/**
 * Characters that no one sees but a terminal or a reader obeys: the control characters C0, DEL and C1 (ISO/IEC 6429), the
 * line and paragraph separators, what turns the direction of text (Unicode Standard Annex 9, `Bidi_Control`), and code
 * points that are no characters, with which `paint` marks its colours.
 */
const HIDDEN = /[\p{Cc}\p{Bidi_Control}\p{Noncharacter_Code_Point}\u2028\u2029]/u
/** The same without what lays text out: tab, new line, and a return before a new line. */
const HARMFUL = /(?![\t\n]|\r\n)[\p{Cc}\p{Bidi_Control}\u2028\u2029]/gu

/** What stands in the place of a character that was taken out (U+FFFD, the Unicode replacement character). */
const REPLACEMENT = '\ufffd'

/** Text that a terminal shows and does not obey: a replacement character stands for each control character. */
export function withoutControls(text: string): string {
  return text.replace(HARMFUL, REPLACEMENT)
}

/** The same JSON with every control character written as an escape (RFC 8259, section 7); JSON itself asks only for C0. */
export function escapedJson(json: string): string {
  return json.replace(HARMFUL, (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`)
}

/**
 * Text from outside that is to be kept as a name or a note.
 *
 * @param what names the text in the message, such as `The name of a machine`
 * @throws UsageError `control-character`
 */
export function refuseControls(text: string, what: string): void {
  const found = HIDDEN.exec(text)
  if (found === null) return
  const code = (found[0].codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')
  throw new UsageError(
    'control-character',
    `${what} holds a character that cannot be seen (U+${code}) but that a terminal would obey.`,
    'Type it again in letters, digits and signs, on one line.',
  )
}
