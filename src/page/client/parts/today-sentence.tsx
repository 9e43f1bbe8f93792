import type { LookupTables } from '../../api.js'

/** How the present session feeds against the table, where something tells it. */
export function TodaySentence({ today, before = '' }: { today: LookupTables['today']; before?: string }) {
  if (today === null || today.sentence === null) return null
  return (
    <p class="quiet">
      {before}
      {today.sentence}
    </p>
  )
}
