/** What fills the band of the next setting, so that it is told from the band of the mean without colour. */
export function Hatch({ id }: { id: string }) {
  return (
    <defs>
      <pattern id={id} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <line class="hatch" x1="0" x2="0" y1="0" y2="7" />
      </pattern>
    </defs>
  )
}
