/** A few answers of which one holds: radio buttons that look like keys. */
export function Choice<T extends string | number>({
  legend,
  name,
  options,
  value,
  onChange,
  hideLegend = false,
}: {
  legend: string
  name: string
  options: readonly { readonly value: T; readonly label: string; readonly spoken?: string }[]
  value: T | null
  onChange: (value: T) => void
  hideLegend?: boolean
}) {
  return (
    <fieldset class="choice">
      <legend class={hideLegend ? 'unseen' : undefined}>{legend}</legend>
      <div>
        {options.map((option) => (
          <label key={option.value}>
            <input
              type="radio"
              name={name}
              checked={option.value === value}
              aria-label={option.spoken}
              onChange={() => onChange(option.value)}
            />
            <span>{option.label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  )
}
