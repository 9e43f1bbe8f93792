import { element, type Markup } from './element.js'

/** One entry: a sample of up to 34 px width drawn about (x, y), and its words. */
export interface LegendEntry {
  readonly sample: (x: number, y: number) => Markup
  readonly words: string
}

/** Length of the drawn line beside a name, px (judgement). */
const SAMPLE_WIDTH = 34
/** Height of a row, px (judgement). */
const ROW_HEIGHT = 20
/**
 * Width of a letter in the text size of a picture, px. Measured of a usual sans-serif typeface, a little wide so
 * that nothing overlaps.
 */
const LETTER_WIDTH = 7.3

/** Rows of entries from left to right, and the height they take. */
export function legend(
  entries: readonly LegendEntry[],
  place: { readonly left: number; readonly right: number; readonly top: number },
): { drawn: Markup; height: number } {
  let x = place.left
  let y = place.top + ROW_HEIGHT / 2
  const drawn: Markup[] = []
  for (const { sample, words } of entries) {
    const width = SAMPLE_WIDTH + 8 + words.length * LETTER_WIDTH + 18
    if (x > place.left && x + width > place.right) {
      x = place.left
      y += ROW_HEIGHT
    }
    drawn.push(sample(x + SAMPLE_WIDTH / 2, y))
    drawn.push(element('text', { x: x + SAMPLE_WIDTH + 8, y: y + 4.5 }, [words]))
    x += width
  }
  return { drawn: element('g', {}, drawn), height: y + ROW_HEIGHT / 2 - place.top }
}
