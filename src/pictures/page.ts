import { element, type Markup } from './element.js'
import { INK, PAPER, QUIET_INK, TEXT_SIZE } from './style.js'

interface PicturePage {
  readonly width: number
  readonly height: number
  /** The heading; also what a screen reader says first. */
  readonly title: string
  /** Lines under the heading. */
  readonly subtitles: readonly string[]
  /** What the picture shows, in sentences, for who cannot see it. */
  readonly description: string
}

/** Margin and size of the title, px: judgement, by eye. */
export const PAGE_MARGIN = 24
const TITLE_SIZE = 19
/** Letters of a line of the title and of the subtitle. Judgement: what the width holds. */
const TITLE_LETTERS = 68
const SUBTITLE_LETTERS = 112

/** Height that heading and subtitles take. */
export function headingHeight(subtitles: readonly string[]): number {
  return PAGE_MARGIN + TITLE_SIZE + subtitles.flatMap(wrapped).length * 18 + 6
}

/** Text in lines that fit, broken between words. */
function wrapped(text: string): string[] {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > SUBTITLE_LETTERS) {
      lines.push(line)
      line = word
    } else {
      line = line === '' ? word : `${line} ${word}`
    }
  }
  return [...lines, line]
}

function shortened(title: string): string {
  const letters = [...title]
  return letters.length <= TITLE_LETTERS ? title : `${letters.slice(0, TITLE_LETTERS - 1).join('')}…`
}

/** A whole SVG document on a light ground: title and description for screen readers, heading, then the content. */
export function page(
  { width, height, title, subtitles, description }: PicturePage,
  content: readonly Markup[],
): string {
  const root = element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: 'img',
      'aria-labelledby': 'picture-title picture-description',
      'font-family': 'Helvetica, Arial, sans-serif',
      'font-size': TEXT_SIZE,
      fill: INK,
    },
    [
      element('title', { id: 'picture-title' }, [title]),
      element('desc', { id: 'picture-description' }, [description]),
      element('rect', { width, height, fill: PAPER }),
      element(
        'text',
        { x: PAGE_MARGIN, y: PAGE_MARGIN + 14, 'font-size': TITLE_SIZE, 'font-weight': 'bold' },
        [shortened(title)],
      ),
      ...subtitles
        .flatMap(wrapped)
        .map((text, index) =>
          element('text', { x: PAGE_MARGIN, y: PAGE_MARGIN + 14 + 20 + index * 18, fill: QUIET_INK }, [text]),
        ),
      ...content,
    ],
  )
  return `<?xml version="1.0" encoding="UTF-8"?>\n${root.svg}\n`
}
