import { useCallback, useEffect, useState } from 'preact/hooks'
import type { PortsAnswer } from '../../../api.js'
import { ask, tell } from '../../model/server.js'
import { usePage } from '../../model/use-page.js'
import { Form } from '../../parts/form.js'
import { Notice } from '../../parts/notice.js'
import { SelectField } from '../../parts/select-field.js'
import { useAction } from '../../parts/use-action.js'

const KEPT_AS = 'tablepace.readout'
/** Speeds that are offered, baud: the usual ones (common practice, no source). */
const SPEEDS = [1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200].map(String)

interface Kept {
  readonly port: string
  readonly baud: string
  readonly profile: string
}

/** Says which port the readout is on and how it speaks, and opens it. */
export function ReadoutField({
  trouble: told,
}: {
  /** What every page is told of the readout. */ trouble: string | null
}) {
  const { axis } = usePage()
  const [kept, setKept] = useState<Kept>(readKept)
  const [found, setFound] = useState<PortsAnswer | null>(null)
  const { busy, trouble, run } = useAction()
  const look = useCallback(async () => {
    try {
      setFound(await ask<PortsAnswer>('ports'))
    } catch {
      // The path can still be typed where it is known.
      setFound({ ports: [], profiles: [] })
    }
  }, [])
  useEffect(() => void look(), [look])
  const change = (changes: Partial<Kept>): void => setKept({ ...kept, ...changes })
  const connect = (): Promise<boolean> =>
    run(async () => {
      localStorage.setItem(KEPT_AS, JSON.stringify(kept))
      await tell('live/connect', {
        axisId: axis.id,
        port: kept.port.trim(),
        baudRate: kept.baud === '' ? null : Number(kept.baud),
        profile: kept.profile === '' ? null : kept.profile,
      })
    })
  // Not before the ports are there: they would push down what a finger is about to touch.
  if (found === null) return <p class="quiet">Looking for ports …</p>
  return (
    <Form onSend={() => connect()}>
      <h2>Connect the readout</h2>
      <label>
        Port
        <input
          value={kept.port}
          list="ports"
          required
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          placeholder="/dev/ttyUSB0 or COM3"
          onInput={(event) => change({ port: event.currentTarget.value })}
        />
      </label>
      <PortKeys ports={found.ports} chosen={kept.port} onChoose={(port) => change({ port })} />
      <details>
        <summary>Speed and profile of the readout</summary>
        <SelectField
          label="Speed, baud"
          value={kept.baud}
          none="the profile's, else 9600"
          options={SPEEDS}
          onChange={(baud) => change({ baud })}
        />
        <SelectField
          label="Lines"
          value={kept.profile}
          none="work the format out from the lines"
          options={found.profiles.map(({ name, description }) => ({
            value: name,
            label: `${name}: ${description}`,
          }))}
          onChange={(profile) => change({ profile })}
        />
      </details>
      <div class="buttons">
        <button type="submit" class="main" disabled={busy || kept.port.trim() === ''}>
          {busy ? 'Opening …' : 'Connect'}
        </button>
        <button type="button" onClick={look}>
          Look for ports again
        </button>
      </div>
      {told !== null && <Notice kind="trouble">{told}</Notice>}
      {trouble !== null && trouble !== told && <Notice kind="trouble">{trouble}</Notice>}
      <p class="quiet">
        The port is the one of the computer that runs tablepace; one that it does not list has to be named
        when the page is started. No readout? Use the <a href="#/measure/stopwatch">stopwatch</a>.
      </p>
    </Form>
  )
}

/** The ports that were found, so that none has to be typed. */
function PortKeys({
  ports,
  chosen,
  onChoose,
}: {
  ports: PortsAnswer['ports']
  chosen: string
  onChoose: (path: string) => void
}) {
  if (ports.length === 0) return null
  return (
    <fieldset class="keys" aria-label="Ports found">
      {ports.map(({ path, description }) => (
        <button type="button" key={path} aria-pressed={chosen === path} onClick={() => onChoose(path)}>
          {path.split('/').at(-1)}
          {description !== '' && <small> {description}</small>}
        </button>
      ))}
    </fieldset>
  )
}

function readKept(): Kept {
  const none = { port: '', baud: '', profile: '' }
  try {
    return { ...none, ...(JSON.parse(localStorage.getItem(KEPT_AS) ?? '{}') as Partial<Kept>) }
  } catch {
    return none
  }
}
