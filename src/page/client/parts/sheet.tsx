/** The drawing as the program made it; what the user named is escaped in it. */
export function Sheet({ svg }: { svg: string }) {
  // Drawn by our own server, with everything that was typed escaped.
  return <div class="sheet" dangerouslySetInnerHTML={{ __html: svg }} />
}
