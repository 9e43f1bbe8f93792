import { type ComponentChildren, Fragment, options } from 'preact'

/** A hyphen that begins a number: it stands first, or behind a space or an opening sign. */
const HYPHEN = /(^|[\s(…±:;])-(?=[.,]?\d)/g

/** Elements that show text as somebody or something else wrote it. */
const AS_WRITTEN = new Set<unknown>(['pre', 'code', 'textarea', 'option'])

/** A text with the minus sign before its negative numbers. @example printedMinus('-1.2 … +0.3 %') // '−1.2 … +0.3 %' */
export function printedMinus(text: string): string {
  return text.replace(HYPHEN, '$1−')
}

/**
 * Lets every element made from now on show the minus sign, where the shared sentences and numbers carry the hyphen of a
 * keyboard. Only what is shown changes: fields, requests and files keep the hyphen.
 */
export function showMinusSigns(): void {
  const before = options.vnode
  options.vnode = (vnode) => {
    if ((typeof vnode.type === 'string' || vnode.type === Fragment) && !AS_WRITTEN.has(vnode.type)) {
      const { props } = vnode
      props.children = printed(props.children)
    }
    before?.(vnode)
  }
}

function printed(shown: ComponentChildren): ComponentChildren {
  if (typeof shown === 'string') return printedMinus(shown)
  if (typeof shown === 'number' && shown < 0) return printedMinus(String(shown))
  return Array.isArray(shown) ? shown.map(printed) : shown
}
