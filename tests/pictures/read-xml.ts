/** An element of a parsed document. */
export interface XmlElement {
  readonly name: string
  readonly attributes: Readonly<Record<string, string>>
  readonly children: (XmlElement | string)[]
}

const NAME = '[A-Za-z_][\\w.:-]*'
const TAG = new RegExp(`^<(/?)(${NAME})((?:\\s+${NAME}="[^"<]*")*)\\s*(/?)>`)
const ATTRIBUTE = new RegExp(`(${NAME})="([^"<]*)"`, 'g')
const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" }

/**
 * Reads the part of XML 1.0 that SVG pictures use: a declaration, elements, attributes, text and the five named
 * entities. Throws for whatever is not well-formed, so that reading is the test.
 */
export function readXml(document: string): XmlElement {
  let rest = document.replace(/^<\?xml version="1\.0" encoding="UTF-8"\?>\s*/, '')
  const root: XmlElement = { name: '', attributes: {}, children: [] }
  const open = [root]
  while (rest !== '') {
    const here = open.at(-1)!
    if (!rest.startsWith('<')) {
      const end = rest.indexOf('<')
      const text = end === -1 ? rest : rest.slice(0, end)
      rest = rest.slice(text.length)
      here.children.push(plainText(text))
      continue
    }
    const tag = TAG.exec(rest)
    if (tag === null) throw new Error(`Not well-formed at: ${rest.slice(0, 60)}`)
    const [whole, closing, name, attributeText, empty] = tag as unknown as [
      string,
      string,
      string,
      string,
      string,
    ]
    rest = rest.slice(whole.length)
    if (closing === '/') {
      if (here.name !== name) throw new Error(`</${name}> closes <${here.name}>`)
      open.pop()
      continue
    }
    const element: XmlElement = { name, attributes: readAttributes(attributeText), children: [] }
    here.children.push(element)
    if (empty === '') open.push(element)
  }
  if (open.length !== 1) throw new Error(`<${open.at(-1)!.name}> is never closed`)
  const elements = root.children.filter((child) => typeof child !== 'string')
  if (elements.length !== 1) throw new Error(`There are ${elements.length} root elements.`)
  return elements[0]!
}

/** All elements of a name below one, in document order. */
export function elementsOf(element: XmlElement, name: string): XmlElement[] {
  return element.children.flatMap((child) =>
    typeof child === 'string' ? [] : [...(child.name === name ? [child] : []), ...elementsOf(child, name)],
  )
}

/** All text below an element. */
export function textOf(element: XmlElement): string {
  return element.children.map((child) => (typeof child === 'string' ? child : textOf(child))).join('')
}

function readAttributes(text: string): Record<string, string> {
  const attributes: Record<string, string> = {}
  for (const [, name, value] of text.matchAll(ATTRIBUTE)) {
    if (name! in attributes) throw new Error(`Attribute ${name} stands twice.`)
    attributes[name!] = plainText(value!)
  }
  return attributes
}

function plainText(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: XML has no place for them
  if (/[\u0000-\u0008\u000b\u000c\u000e-\u001f]/.test(text)) throw new Error('A control character.')
  return text.replace(/&([^;]*);?/g, (whole, name: string) => {
    const character = whole.endsWith(';') ? ENTITIES[name] : undefined
    if (character === undefined) throw new Error(`${whole} is no entity.`)
    return character
  })
}
