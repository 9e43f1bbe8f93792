/** Columns that printed text keeps within (common practice, no source: the width of a terminal). */
export const PRINTED_WIDTH = 80

/** What belongs to the number before it, and what to the number behind it, so that no line breaks between them. */
const BELONGS_BEFORE =
  /(?<=[\d½¼¾⅛⅜⅝⅞–?)]) (?=(?:%|…|in|mm|cm|m|ft|s|ms|min|minutes?|days?|rpm|Hz|hp|W|kW|lbf|N|kB|MB|GB|µin|µm|um|W s|in³|cm³|in\/|mm\/|ft\/|m\/)(?![A-Za-z]))/g
const BELONGS_BEHIND = /(?<=…|±|%:|[<>=×]) (?=\S)/g
/** A command that is to be pasted: in backticks, or from its name to the end of the line or to a gap. */
const COMMAND = /`[^`]*`|(?<!`)\btablepace [a-z](?:(?! {2}).)*/g
const HELD_TOGETHER = '\u00a0'

/**
 * One line as lines that are no longer than `width`, broken between words, never between a number and its unit nor inside
 * a command; what is longer than a line stands alone.
 *
 * @param hanging how far the second and further lines are set in
 * @example wrapLine('the feed is 7.00 in/min', 15, 2) // ['the feed is', '  7.00 in/min']
 */
export function wrapLine(line: string, width: number, hanging: number): string[] {
  if (line.length <= width) return [line]
  const held = line
    .replace(COMMAND, (command) => command.replaceAll(' ', HELD_TOGETHER))
    .replace(BELONGS_BEFORE, HELD_TOGETHER)
    .replace(BELONGS_BEHIND, HELD_TOGETHER)
  const lines: string[] = []
  let current = ''
  for (const word of held.split(/(?<=\S) /)) {
    const joined = current === '' ? word : `${current} ${word}`
    if (current === '' || joined.trimEnd().length <= width) current = joined
    else {
      lines.push(current)
      current = ' '.repeat(hanging) + word.trimStart()
    }
  }
  return [...lines, current].map((one) => one.replaceAll(HELD_TOGETHER, ' ').trimEnd())
}

/** Every line of a text wrapped, the lines that follow set in below the first, or below its last column. */
export function wrapText(text: string, width: number): string {
  return text
    .split('\n')
    .flatMap((line) => wrapLine(line, width, hangingOf(line)))
    .join('\n')
}

/** The same for a text whose paragraphs were broken at another width: they are put together first. */
export function reflowText(text: string, width: number): string {
  const lines: string[] = []
  for (const line of text.split('\n')) {
    const before = lines.at(-1) ?? ''
    const indent = indentOf(line)
    const plain = indent === 0 && line !== '' && before !== '' && indentOf(before) === 0
    if (plain || (indent > 4 && indent === hangingOf(before)))
      lines[lines.length - 1] = `${before} ${line.trim()}`
    else lines.push(line)
  }
  return lines.flatMap((line) => wrapLine(line, width, indentOf(line) === 0 ? 0 : hangingOf(line))).join('\n')
}

/** Column up to which a list's second column begins; a line with a gap further on is a sentence. Judgement: half the width. */
const COLUMN_BEGINS_WITHIN = 40

function hangingOf(line: string): number {
  const gaps = [...line.slice(0, COLUMN_BEGINS_WITHIN).matchAll(/(?<=\S) {2,}(?=\S)/g)]
  const last = gaps.at(-1)
  if (last !== undefined) return last.index + last[0].length
  const indent = /^\s*(?:[-✓✗] )?/.exec(line)?.[0].length ?? 0
  return indent === 0 ? 2 : indent
}

function indentOf(line: string): number {
  return line.length - line.trimStart().length
}
