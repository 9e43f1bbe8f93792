import { useId, useState } from 'preact/hooks'
import type { FileFormat } from '../../machine-api.js'
import { download, upload } from '../model/files.js'
import { usePage } from '../model/use-page.js'
import { CheckField } from '../parts/check-field.js'
import { Notice } from '../parts/notice.js'
import { useAction } from '../parts/use-action.js'
import { ReadFile } from './readout/read-file.js'

const FORMATS: readonly { readonly format: FileFormat; readonly name: string; readonly for: string }[] = [
  { format: 'card-html', name: 'Card to print', for: 'to tape to the machine' },
  { format: 'card-svg', name: 'Card as a drawing', for: 'SVG, for a drawing program' },
  { format: 'xlsx', name: 'Workbook', for: 'with live lookups: type a feed, read the dial' },
  { format: 'csv', name: 'CSV', for: 'for spreadsheets and planners' },
  { format: 'json', name: 'Table document', for: 'JSON with everything; another tablepace brings it in' },
  { format: 'datapackage', name: 'Data package', for: 'zip, Frictionless Data' },
  { format: 'markdown', name: 'Markdown', for: 'for a notebook or a wiki' },
]

/** What goes out and comes in as files: tables for other programs, and the whole store. */
export function Files() {
  return (
    <section>
      <h1>Files</h1>
      <Export />
      <BlankSheet />
      <ReadFile />
      <BringIn title="Bring in tables or another store" />
      <div class="card">
        <h2>Back up everything</h2>
        <p>One file with all machines, runs, raw lines and tables. Keep it on another disk.</p>
        <Download path="backup" name="Download a backup" />
      </div>
      <Restore />
    </section>
  )
}

/** Brings in what another tablepace handed on; on a new computer that is how everything comes over. */
export function BringIn({ title }: { title: string }) {
  return (
    <div class="card">
      <h2>{title}</h2>
      <p>
        A table document, a data package as a zip file, or the backup of another tablepace. Nothing that is
        here is overwritten, and what is here already is not brought in twice.
      </p>
      <HandOver
        label="File to bring in"
        button="Bring it in"
        accept=".json,.zip,.db"
        send={async (file) => (await upload('import', file)).sentences}
      />
    </div>
  )
}

function Export() {
  const { axis, data } = usePage()
  return (
    <div class="card">
      <h2>Hand the tables of {axis.name} on</h2>
      {data.tables.length === 0 ? (
        <p>There is no table to hand on yet.</p>
      ) : (
        <ul class="plain">
          {FORMATS.map((one) => (
            <li key={one.format}>
              <Download path={`export?id=${axis.id}&format=${one.format}`} name={one.name} />
              <span class="quiet">{one.for}</span>
            </li>
          ))}
        </ul>
      )}
    </div>
  )
}

function BlankSheet() {
  const { axis } = usePage()
  return (
    <div class="card">
      <h2>A blank sheet for runs by stopwatch</h2>
      <p>
        To take to the machine where there is no phone. Filled in as a spreadsheet it is read below; a printed
        one is typed in.
      </p>
      <div class="buttons">
        <Download path={`sheet?id=${axis.id}&format=html`} name="Sheet to print" />
        <Download path={`sheet?id=${axis.id}&format=csv`} name="Sheet to fill in" />
      </div>
    </div>
  )
}

function Download({ path, name }: { path: string; name: string }) {
  const { busy, trouble, run } = useAction()
  return (
    <>
      <button type="button" disabled={busy} onClick={() => run(() => download(path))}>
        {busy ? 'Making the file …' : name}
      </button>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}

/** Puts a backup in the place of the store; also where the store is damaged and no view can be shown. */
export function Restore() {
  const [isMeant, setMeant] = useState(false)
  return (
    <div class="card">
      <h2>Bring a backup back</h2>
      <p>
        The backup takes the place of everything that is here now. What is here is kept beside it on the
        computer.
      </p>
      <CheckField label="Put the backup in the place of what is here" checked={isMeant} onChange={setMeant} />
      <HandOver
        label="Backup"
        button="Bring it back"
        accept=".db"
        refused={!isMeant}
        send={async (file) => {
          const { replaced } = await upload('restore', file)
          setMeant(false)
          return [
            'The backup is sound and is in its place now.',
            ...(replaced === null ? [] : [`What was here before is kept on the computer as ${replaced}.`]),
          ]
        }}
      />
    </div>
  )
}

/** Chooses a file and hands it over; what came of it in sentences. */
function HandOver({
  label,
  button,
  accept,
  refused = false,
  send,
}: {
  label: string
  button: string
  accept: string
  refused?: boolean
  send: (file: File) => Promise<readonly string[]>
}) {
  const id = useId()
  const [file, setFile] = useState<File | null>(null)
  const [told, setTold] = useState<readonly string[]>([])
  const { busy, trouble, run } = useAction()
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault()
        if (file === null) return
        setTold([])
        void run(async () => setTold(await send(file)))
      }}
    >
      <label for={id}>{label}</label>
      <input
        id={id}
        type="file"
        accept={accept}
        onChange={(event) => setFile(event.currentTarget.files?.[0] ?? null)}
      />
      <div class="buttons">
        <button type="submit" disabled={busy || refused || file === null}>
          {busy ? 'Working …' : button}
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {told.length > 0 && (
        <Notice kind="good">
          {told.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
        </Notice>
      )}
    </form>
  )
}
