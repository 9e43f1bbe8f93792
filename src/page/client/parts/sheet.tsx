/** The drawing as the program made it; what the user named is escaped in it. */
export function Sheet({
  svg,
  scrolls = null,
}: {
  svg: string /** Its name, where a narrow screen scrolls along it instead of shrinking it. */
  scrolls?: string | null
}) {
  // Drawn by our own server, with everything that was typed escaped.
  const drawing = { dangerouslySetInnerHTML: { __html: svg } }
  return scrolls === null ? (
    <div class="sheet" {...drawing} />
  ) : (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached by the keyboard as well
    <section class="sheet wide" aria-label={scrolls} tabIndex={0} {...drawing} />
  )
}
