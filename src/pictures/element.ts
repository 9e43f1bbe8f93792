/** Attributes of an element; numbers are written short, undefined ones left out. */
type Attributes = Readonly<Record<string, string | number | undefined>>

/** Finished SVG text; only this module makes it, so that user text cannot slip in unescaped. */
export interface Markup {
  readonly svg: string
}

/**
 * One SVG element with its children. Children given as plain strings are text and are escaped.
 * @example element('text', { x: 4, y: 12 }, ['a < b']).svg // <text x="4" y="12">a &lt; b</text>
 */
export function element(
  name: string,
  attributes: Attributes = {},
  children: readonly (Markup | string)[] = [],
): Markup {
  const written = Object.entries(attributes)
    .flatMap(([key, value]) => (value === undefined ? [] : ` ${key}="${escapeText(attributeText(value))}"`))
    .join('')
  const inner = children.map((child) => (typeof child === 'string' ? escapeText(child) : child.svg)).join('')
  return { svg: inner === '' ? `<${name}${written}/>` : `<${name}${written}>${inner}</${name}>` }
}

/** Characters that XML 1.0 has no place for, not even escaped (section 2.2), and the rest of the control characters. */
const NOT_XML = /[\p{Cs}\ufffe\uffff]|(?![\t\n\r])\p{Cc}/gu

function escapeText(text: string): string {
  return text
    .replace(NOT_XML, '\ufffd')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
}

/** A hundredth of a pixel is finer than any printer; more digits only make the file long. */
function attributeText(value: string | number): string {
  return typeof value === 'number' ? String(Math.round(value * 100) / 100) : value
}
