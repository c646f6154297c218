/** Grey value at a point in LPS mm. */
export type Field = (x: number, y: number, z: number) => number
