/** A choice from a list that is too long to be laid out. */
export function SelectField({
  label,
  value,
  options,
  none,
  onChange,
}: {
  label: string
  value: string
  options: readonly (string | { readonly value: string; readonly label: string })[]
  /** What it says where nothing is chosen; left out where something always is. */
  none?: string
  onChange: (value: string) => void
}) {
  return (
    <label>
      {label}
      <select value={value} onChange={(event) => onChange(event.currentTarget.value)}>
        {none !== undefined && <option value="">{none}</option>}
        {options
          .map((one) => (typeof one === 'string' ? { value: one, label: one } : one))
          .map((one) => (
            <option key={one.value} value={one.value}>
              {one.label}
            </option>
          ))}
      </select>
    </label>
  )
}
