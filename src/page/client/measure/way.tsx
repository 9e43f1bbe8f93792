import type { Axis } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { printedSign } from '../../../units/index.js'
import { ownWord, waySpoken } from '../parts/way-words.js'

/** Which way to feed, in the large type of an instruction: the user's own word where there is one, else the sign. */
export function Way({ axis, direction }: { axis: Pick<Axis, 'ways'>; direction: Direction }) {
  const word = ownWord(axis, direction)
  return (
    <>
      {word === null ? (
        <strong>{printedSign(direction)}</strong>
      ) : (
        <>
          <b class="own">{word}</b> {printedSign(direction)}
        </>
      )}
      <span class="unseen"> direction {waySpoken(axis, direction)}</span>
    </>
  )
}
