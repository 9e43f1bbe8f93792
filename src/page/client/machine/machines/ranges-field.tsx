import { TextField } from '../../parts/text-field.js'

/** The names of the ranges of a new axis' dial, where it has several. */
export function RangesField({
  value = '',
  onText,
}: {
  value?: string | undefined
  onText: (text: string) => void
}) {
  return (
    <TextField
      label="Ranges of the dial"
      value={value}
      onText={onText}
      hint="such as LO, HI: each gets tables of its own; empty where the dial has only one"
    />
  )
}
