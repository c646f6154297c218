import { fingerprint, fromFrame, type VoxelArray } from '../src/index.js'

const place = fromFrame([0.3, 0, 0], [0, 0.3, 0], [0, 0, 0.3], [-12.5, 7, 1000])

/** Fingerprints of small volumes of every kind of voxel, to be the same wherever they are worked out. */
export const fingerprints = (): Readonly<Record<string, string>> => {
  const grey = (n: number): number => ((n * 7919) % 4001) - 1000
  const of = (data: VoxelArray) => fingerprint(data, [data.length, 1, 1], place)
  return {
    int16: of(Int16Array.from({ length: 1000 }, (_, n) => grey(n))),
    uint16: of(Uint16Array.from({ length: 999 }, (_, n) => grey(n) + 1000)),
    float32: of(Float32Array.from({ length: 997 }, (_, n) => grey(n) / 7)),
  }
}

export const expectedFingerprints = {
  int16: 'fb687422d7c8d039',
  uint16: 'f96625dd42201e57',
  float32: '286f7e2b9dbe3942',
}
