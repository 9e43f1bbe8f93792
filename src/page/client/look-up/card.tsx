import { useEffect, useState } from 'preact/hooks'
import { feedUnit } from '../../../units/index.js'
import type { CardAnswer } from '../../api.js'
import { ask } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { MovedWarning } from '../parts/moved-warning.js'
import { Notice } from '../parts/notice.js'
import { Sheet } from '../parts/sheet.js'
import { sayTrouble } from '../parts/use-action.js'
import { wayShown } from '../parts/way-words.js'

/** The card to tape to the machine: prints on one sheet, saves as a drawing, and is a list on a small screen. */
export function Card() {
  const { axis, machine, unit, data } = usePage()
  const [card, setCard] = useState<CardAnswer | null>(null)
  const [trouble, setTrouble] = useState<string | null>(null)
  useEffect(() => {
    let over = false
    ask<CardAnswer>(`card?id=${axis.id}&unit=${unit}`)
      .then((answer) => {
        if (over) return
        setCard(answer)
        setTrouble(null)
      })
      .catch((error: unknown) => {
        if (over) return
        setCard(null)
        setTrouble(sayTrouble(error))
      })
    return () => {
      over = true
    }
  }, [axis.id, unit, data.tables])
  return (
    <section>
      <h1>Dial card of {axis.name}</h1>
      <MovedWarning tables={data.tables} />
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {card !== null && (
        <>
          <div class="buttons">
            <button type="button" class="main" onClick={() => print()}>
              Print on one sheet
            </button>
            <button type="button" onClick={() => save(card.svg, `${machine.name} ${axis.name} card.svg`)}>
              Save as SVG
            </button>
          </div>
          <CardList card={card} />
          <div class="paper">
            <Sheet svg={card.svg} />
          </div>
        </>
      )}
    </section>
  )
}

/** The card as a list, where the screen is too narrow for the drawing. */
function CardList({ card }: { card: CardAnswer }) {
  const { axis, data, unit } = usePage()
  const directions = data.tables.map((table) => table.direction)
  return (
    <div class="card-list">
      <table class="feeds" aria-label="Where to set the dial">
        <thead>
          <tr>
            <th scope="col">{feedUnit(unit)}</th>
            {directions.map((direction) => (
              <th scope="col" key={direction}>
                dial, {wayShown(axis, direction)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {card.rows.map((row) => (
            <tr key={row.feed}>
              <th scope="row">{row.feed}</th>
              {directions.map((direction) => {
                const setting = row.settings.find((one) => one.direction === direction)
                return (
                  <td key={direction}>
                    {setting === undefined ? '–' : setting.dial} <small>{setting?.within}</small>
                  </td>
                )
              })}
            </tr>
          ))}
        </tbody>
      </table>
      {card.notes.map((note) => (
        <p key={note}>{note}</p>
      ))}
    </div>
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
