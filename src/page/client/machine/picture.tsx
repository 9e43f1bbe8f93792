/**
 * A drawing of the program that is wider than a phone: it keeps its size, so that its words stay readable, and is moved
 * along sideways; what the user named is escaped in it.
 */
export function Picture({ svg, name }: { svg: string; name: string }) {
  return (
    // By keyboard it is moved along with the arrow keys, so it has to take the focus.
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls has to be reached by keyboard.
    <section class="picture" aria-label={name} tabIndex={0} dangerouslySetInnerHTML={{ __html: svg }} />
  )
}
