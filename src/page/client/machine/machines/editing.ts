/** What is being changed: a machine, an axis, or a new one of either. */
export type Open =
  | { readonly kind: 'machine' | 'axis'; readonly id: number }
  | { readonly kind: 'new-axis'; readonly id: number }
  | { readonly kind: 'new-machine' }

/** How a part of the view begins and ends a change. */
export interface Editing {
  readonly open: Open | null
  readonly setOpen: (open: Open) => void
  readonly leave: () => void
  readonly reload: () => Promise<void>
}
