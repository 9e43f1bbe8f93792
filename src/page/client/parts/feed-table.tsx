import type { ComponentChildren } from 'preact'
import type { StoredTable } from '../../../store/index.js'
import {
  feedUnit,
  formatDial,
  formatFeed,
  formatPercentHalfWidth,
  type LengthUnit,
} from '../../../units/index.js'
import { usePage } from '../model/use-page.js'
import { wayShown, waySpoken } from './way-words.js'

type Mark = StoredTable['marks'][number]

/** Tables beside each other, a row a dial setting; a stroke where a table has no mark there. */
export function DialRows({
  tables,
  head,
  cell,
}: {
  tables: readonly StoredTable[]
  head: (table: StoredTable) => ComponentChildren
  cell: (mark: Mark) => ComponentChildren
}) {
  const { axis } = usePage()
  const dials = [...new Set(tables.flatMap((table) => table.marks.map((mark) => mark.dial)))].sort(
    (a, b) => a - b,
  )
  return (
    <>
      <thead>
        <tr>
          <th scope="col">Dial</th>
          {tables.map((table) => (
            <th scope="col" key={table.hash}>
              {head(table)}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {dials.map((dial) => (
          <tr key={dial}>
            <th scope="row">{formatDial(dial, axis)}</th>
            {tables.map((table) => {
              const mark = table.marks.find((one) => one.dial === dial)
              return <td key={table.hash}>{mark === undefined ? '–' : cell(mark)}</td>
            })}
          </tr>
        ))}
      </tbody>
    </>
  )
}

/** The marks with their feeds, large enough for arm's length. */
export function FeedTable({ tables, unit }: { tables: readonly StoredTable[]; unit: LengthUnit }) {
  const { axis } = usePage()
  return (
    <table class="feeds">
      <caption>
        Feed in {feedUnit(unit)}; ± is for the mean of the setting on the days of its runs, 95 %.{' '}
        {tables
          .map(
            (one) =>
              `Direction ${wayShown(axis, one.direction)}: version ${one.version} of ${one.fittedAt.slice(0, 10)}`,
          )
          .join(', ')}
        .
      </caption>
      <DialRows
        tables={tables}
        head={({ direction }) => (
          <>
            {wayShown(axis, direction)}
            <span class="unseen"> direction {waySpoken(axis, direction)}</span>
          </>
        )}
        cell={({ feedMmPerMin, interval95 }) => (
          <>
            {formatFeed(feedMmPerMin, interval95, unit)}{' '}
            <small>{formatPercentHalfWidth(feedMmPerMin, interval95)}</small>
          </>
        )}
      />
    </table>
  )
}
