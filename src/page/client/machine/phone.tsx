import { useEffect, useState } from 'preact/hooks'
import type { PairingAnswer } from '../../api.js'
import { ask } from '../model/server.js'
import { Notice } from '../parts/notice.js'
import { sayTrouble } from '../parts/use-action.js'

/** How to use the page on a phone: the code to scan. */
export function Phone() {
  const [pairing, setPairing] = useState<PairingAnswer | null>(null)
  const [trouble, setTrouble] = useState<string | null>(null)
  useEffect(() => {
    ask<PairingAnswer>('pairing')
      .then(setPairing)
      .catch((error: unknown) => setTrouble(sayTrouble(error)))
  }, [])
  return (
    <section>
      <h1>On a phone</h1>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {pairing?.paired && (
        <Notice kind="note">
          This device is let in over the network. The code for another one is shown on the computer that runs
          tablepace, here at "Phone".
        </Notice>
      )}
      {pairing !== null && !pairing.paired && pairing.url === null && (
        <Notice kind="note">
          The page is open to this device alone. To use it on a phone beside the mill, open it to the network
          when you start it on the computer, which then shows a code here for the phone to scan.
        </Notice>
      )}
      {pairing?.url && pairing.modules && (
        <>
          <p>
            Scan this with the phone, in the same network. Whoever has the code can record runs; it holds
            until the program ends. The connection is not encrypted: use it in a network you trust.
          </p>
          <Code modules={pairing.modules} />
          <p class="address">{pairing.url}</p>
        </>
      )}
    </section>
  )
}

/** The code, dark on light in every theme: that is how cameras read it. */
function Code({ modules }: { modules: readonly (readonly boolean[])[] }) {
  const size = modules.length
  const dark = modules.flatMap((row, y) => row.map((is, x) => (is ? `M${x} ${y}h1v1h-1z` : ''))).join('')
  return (
    <svg
      class="code"
      viewBox={`0 0 ${size} ${size}`}
      role="img"
      aria-label="Pairing code to scan with a phone"
      shape-rendering="crispEdges"
    >
      <rect width={size} height={size} fill="#fff" />
      <path d={dark} fill="#000" />
    </svg>
  )
}
