/** The numbers a file may hold, by the names of the Image record of itk-wasm. */
export type ComponentType = keyof typeof COMPONENTS

/** What comes back for each. The arrays of itk-wasm may lie in shared memory. */
const COMPONENTS = {
  int8: Int8Array,
  uint8: Uint8Array,
  int16: Int16Array,
  uint16: Uint16Array,
  int32: Int32Array,
  uint32: Uint32Array,
  int64: BigInt64Array,
  uint64: BigUint64Array,
  float32: Float32Array,
  float64: Float64Array,
} as const

export type StoredArray = InstanceType<(typeof COMPONENTS)[ComponentType]>

export const bytesOf = (type: ComponentType): number => COMPONENTS[type].BYTES_PER_ELEMENT

export const isFloat = (type: ComponentType): boolean => type === 'float32' || type === 'float64'

export const isArrayOf = (data: unknown, type: ComponentType): data is StoredArray =>
  data instanceof COMPONENTS[type]

/** The same bits as numbers of another type of the same size; the array itself when the type is the same. */
export function asType(data: StoredArray, type: ComponentType): StoredArray {
  const Kind = COMPONENTS[type]
  return data instanceof Kind ? data : new Kind(data.buffer as ArrayBuffer, data.byteOffset, data.length)
}
