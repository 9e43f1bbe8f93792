import type { MaterialData } from './cutting-data.js'

/**
 * The materials that come with the program with the user's own laid over them: an own row comes before the program's,
 * value by value; what it leaves out stays. Materials go by name, capitals and hyphens aside.
 */
export function withOwnMaterials(
  builtIn: readonly MaterialData[],
  own: readonly MaterialData[],
): MaterialData[] {
  const known = builtIn.map((material) => {
    const mine = own.find((one) => sameName(one.name, material.name))
    return mine === undefined ? material : laidOver(material, mine)
  })
  return [...known, ...own.filter((one) => !builtIn.some((material) => sameName(one.name, material.name)))]
}

/** The material of this name, or known by it besides; null where there is none. */
export function findMaterial(materials: readonly MaterialData[], name: string): MaterialData | null {
  return (
    materials.find((one) => sameName(one.name, name)) ??
    materials.find((one) => one.also.some((other) => sameName(other, name))) ??
    null
  )
}

function laidOver(material: MaterialData, own: MaterialData): MaterialData {
  return {
    name: material.name,
    also: [...new Set([...material.also, ...own.also])],
    specificEnergy: own.specificEnergy ?? material.specificEnergy,
    cutters: [...own.cutters, ...material.cutters],
  }
}

function sameName(one: string, other: string): boolean {
  return plain(one) === plain(other)
}

function plain(name: string): string {
  return name
    .toLowerCase()
    .replace(/[\s_-]+/g, ' ')
    .trim()
}
