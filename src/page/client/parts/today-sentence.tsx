import type { LookupTables } from '../../api.js'

/** How the present session feeds against the table, where something tells it. */
export function TodaySentence({ today, before = '' }: { today: LookupTables['today']; before?: string }) {
  if (today === null || today.sentence === null) return null
  const sentence = before === '' ? capitalized(today.sentence) : `${before}${today.sentence}`
  return <p class="quiet">{sentence}.</p>
}

/** With a capital letter, as a sentence begins. */
export function capitalized(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1)
}
