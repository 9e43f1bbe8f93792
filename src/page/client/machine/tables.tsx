import { useState } from 'preact/hooks'
import type { Axis, StoredTable } from '../../../store/index.js'
import { formatFeed } from '../../../units/index.js'
import type { TableAnswer, VersionsAnswer } from '../../machine-api.js'
import { usePage } from '../model/use-page.js'
import { DialRows, FeedTable } from '../parts/feed-table.js'
import { Notice } from '../parts/notice.js'
import { SelectField } from '../parts/select-field.js'
import { useAnswer } from '../parts/use-answer.js'
import { wayShown, waySpoken } from '../parts/way-words.js'
import { when } from '../parts/words.js'
import { Explanation } from './explanation.js'

type Version = VersionsAnswer['versions'][number]

/** Every version of the tables: when and why it was made, its numbers, where one comes from, and two side by side. */
export function Tables() {
  const { axis, data } = usePage()
  const { answer, trouble } = useAnswer<VersionsAnswer>(`tables?id=${axis.id}`, data)
  const [open, setOpen] = useState<string | null>(null)
  const versions = answer?.versions ?? []
  const shown = versions.find((version) => keyOf(version) === open) ?? versions.find((one) => one.inForce)
  return (
    <section>
      <h1>Tables of {axis.name}</h1>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {answer !== null && versions.length === 0 && (
        <Notice kind="note">
          There is no table yet: make the runs at <a href="#/measure">Measure</a> first.
        </Notice>
      )}
      <ul class="versions">
        {versions.map((version) => (
          <li key={keyOf(version)}>
            <button type="button" aria-pressed={version === shown} onClick={() => setOpen(keyOf(version))}>
              {nameOf(axis, version)}
              <span class="unseen"> direction {waySpoken(axis, version.direction)}</span>
            </button>
            <span>
              {version.inForce && <strong>in force · </strong>}
              {when(version.fittedAt)}, {version.marks} marks from {version.runs} runs
              {version.reason !== null && ` · ${version.reason}`}
            </span>
          </li>
        ))}
      </ul>
      {shown !== undefined && <OneTable key={keyOf(shown)} version={shown} others={versions} />}
    </section>
  )
}

function keyOf({ direction, version }: Pick<Version, 'direction' | 'version'>): string {
  return `direction=${direction}&version=${version}`
}

function nameOf(axis: Axis, { direction, version }: Version): string {
  return `${wayShown(axis, direction)} version ${version}`
}

function OneTable({ version, others }: { version: Version; others: readonly Version[] }) {
  const { axis, unit, data } = usePage()
  const { answer, trouble } = useAnswer<TableAnswer>(`table?id=${axis.id}&${keyOf(version)}`, data)
  const [beside, setBeside] = useState('')
  if (trouble !== null) return <Notice kind="trouble">{trouble}</Notice>
  if (answer === null) return <p>Loading …</p>
  const { table, warnings } = answer
  const choices = others.filter((one) => one !== version)
  return (
    <>
      <h2>{nameOf(axis, version)}</h2>
      <FeedTable tables={[table]} unit={unit} />
      {warnings.map((warning) => (
        <Notice kind="note" key={warning}>
          {warning}
        </Notice>
      ))}
      <Explanation table={table} />
      {choices.length > 0 && (
        <>
          <h2>Beside another version</h2>
          <SelectField
            label="The other version"
            value={beside}
            none="choose one"
            options={choices.map((one) => ({ value: keyOf(one), label: nameOf(axis, one) }))}
            onChange={setBeside}
          />
          {beside !== '' && <SideBySide table={table} beside={beside} />}
        </>
      )}
      <details>
        <summary>Method and fingerprint</summary>
        <p class="quiet long">
          {version.method.name} {version.method.version} · {version.hash}
        </p>
      </details>
    </>
  )
}

/** Two versions mark by mark. They share runs, so no uncertainty of their difference is given: each has its own. */
function SideBySide({ table, beside }: { table: StoredTable; beside: string }) {
  const { axis, unit, data } = usePage()
  const { answer, trouble } = useAnswer<TableAnswer>(`table?id=${axis.id}&${beside}`, data)
  if (trouble !== null) return <Notice kind="trouble">{trouble}</Notice>
  if (answer === null) return <p>Loading …</p>
  return (
    <table>
      <caption>Feed in {unit}/min with the 95 % interval of its mean</caption>
      <DialRows
        tables={[table, answer.table]}
        head={({ direction, version }) => `${wayShown(axis, direction)} version ${version}`}
        cell={({ feedMmPerMin, interval95 }) => {
          const end = (value: number): string => formatFeed(value, interval95, unit)
          return (
            <>
              {end(feedMmPerMin)}
              <br />
              <small>
                {interval95 === null ? 'not known' : `${end(interval95[0])} … ${end(interval95[1])}`}
              </small>
            </>
          )
        }}
      />
    </table>
  )
}
