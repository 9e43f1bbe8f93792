import { useEffect, useState } from 'preact/hooks'
import type { CardAnswer } from '../../api.js'
import { ask } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Notice } from '../parts/notice.js'
import { Sheet } from '../parts/sheet.js'
import { sayTrouble } from '../parts/use-action.js'

/** The card to tape to the machine: prints on one sheet, saves as SVG. */
export function Card() {
  const { axis, machine, unit, data } = usePage()
  const [svg, setSvg] = useState<string | null>(null)
  const [trouble, setTrouble] = useState<string | null>(null)
  useEffect(() => {
    let over = false
    ask<CardAnswer>(`card?id=${axis.id}&unit=${unit}`)
      .then((card) => {
        if (over) return
        setSvg(card.svg)
        setTrouble(null)
      })
      .catch((error: unknown) => {
        if (over) return
        setSvg(null)
        setTrouble(sayTrouble(error))
      })
    return () => {
      over = true
    }
  }, [axis.id, unit, data.tables])
  return (
    <section>
      <h1>Dial card of {axis.name}</h1>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {svg !== null && (
        <>
          <div class="buttons">
            <button type="button" class="main" onClick={() => print()}>
              Print on one sheet
            </button>
            <button type="button" onClick={() => save(svg, `${machine.name} ${axis.name} card.svg`)}>
              Save as SVG
            </button>
          </div>
          <Sheet svg={svg} />
        </>
      )}
    </section>
  )
}

function save(svg: string, name: string): void {
  const address = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }))
  const link = document.createElement('a')
  link.href = address
  link.download = name
  link.click()
  URL.revokeObjectURL(address)
}
