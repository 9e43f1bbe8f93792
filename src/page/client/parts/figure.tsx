import type { ComponentChildren } from 'preact'

/** One figure of a list of them, with a word beside it. */
export function Figure({
  name,
  value,
  children,
}: {
  name: string
  value: string
  children?: ComponentChildren
}) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>
        <strong>{value}</strong>
        {children !== undefined && <span> {children}</span>}
      </dd>
    </div>
  )
}
