/** A choice from a list that is too long to be laid out. */
export function SelectField<T extends string>({
  label,
  value,
  options,
  none,
  onChange,
}: {
  label: string
  value: T | ''
  options: readonly (T | { readonly value: T; readonly label: string })[]
  /** What it says where nothing is chosen, which is told as ''; left out where something always is. */
  none?: string
  onChange: (value: T) => void
}) {
  return (
    <label>
      {label}
      <select value={value} onChange={(event) => onChange(event.currentTarget.value as T)}>
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
