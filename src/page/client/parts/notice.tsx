import type { ComponentChildren } from 'preact'

/** Something to know, or something wrong; told apart by a word and a sign, never by colour alone. */
export function Notice({
  kind,
  children,
}: {
  kind: 'note' | 'trouble' | 'good'
  children: ComponentChildren
}) {
  const sign = { note: 'i', trouble: '!', good: '✓' }[kind]
  return (
    <div class={`notice ${kind}`} role={kind === 'trouble' ? 'alert' : 'status'}>
      <span class="sign" aria-hidden="true">
        {sign}
      </span>
      <div>{children}</div>
    </div>
  )
}
