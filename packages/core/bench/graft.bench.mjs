// A planned graft: where it lies, how much it is and the margins after it, against the size of voxels; its meshes; and the
// same deficit sampled by SciPy's distance transform on a grid of the meshes' step.
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { cubicGrid, plateStack, renderField } from '@alveometer/phantom'
import { graftedMargin, graftField, graftMeshes, graftSize } from '../dist/graft/index.js'
import { boneModel, fastMargin, fixtureFrame, fixtureProfile, surfaceGrid } from '../dist/index.js'

const LENGTH_MM = 10
/** The axis lies so far inside the facial face of bone. */
const INSIDE_MM = 3
const site = { facial: [1, 0, 0], coronal: [0, 0, -1] }
const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: LENGTH_MM })
const deficit = {
  kind: 'deficit',
  facialMm: 2,
  otherMm: 2,
  fromDepthMm: 0,
  natural: false,
  loss: { kind: 'share', share: 0.15 },
  overbuilt: false,
}

export async function rows({ measure, findPython, runPython, scratch }) {
  const table = []
  for (const spacingMm of [0.15, 0.2, 0.3, 0.4]) {
    const model = scan(spacingMm)
    table.push(
      await changed(
        measure,
        measured(model, INSIDE_MM),
        deficit,
        `bone beside it, voxels of ${spacingMm} mm`,
      ),
    )
    if (spacingMm === 0.2) {
      const natural = { ...deficit, natural: true, overbuilt: true }
      table.push(
        await changed(
          measure,
          measured(model, INSIDE_MM),
          natural,
          'natural and overbuilt, voxels of 0.2 mm',
        ),
      )
      table.push(
        await changed(measure, measured(model, -2.5), deficit, 'the axis outside bone, voxels of 0.2 mm'),
      )
    }
  }
  const { frame, margin } = measured(scan(0.2), INSIDE_MM)
  const field = graftField({ margin, frame, profile, site, spec: deficit })
  for (const stepMm of [0.2, 0.1]) {
    const row = await measure(
      `meshes of a graft of ${graftSize(field, profile).volumeMm3.toFixed(1)} mm3, built and kept, steps of ${stepMm} mm`,
      () => graftMeshes(field, frame, stepMm).built.triangles.length / 3,
      { warmup: 2, repeats: 7 },
    )
    const peer =
      findPython(['numpy', 'scipy']) === undefined ? undefined : sampled(runPython, scratch, stepMm)
    table.push(peer === undefined ? row : { ...row, note: 'checksum: triangles', peer })
  }
  return table
}

/** Two cortical plates with marrow between them; the facial face of bone is x = 4. */
function scan(spacingMm) {
  const field = plateStack({
    origin: [0, 0, 0],
    normal: [1, 0, 0],
    faces: [-6, -4, 2, 4],
    greys: [50, 1500, 400, 1500, 50],
    sigmaMm: 0.25,
  })
  const nodes = Math.round(26 / spacingMm)
  return boneModel(renderField(field, cubicGrid([nodes, nodes, nodes], spacingMm, [0.03, 0.05, 5.02])))
}

function measured(model, insideMm) {
  const frame = fixtureFrame({ platform: [4 - insideMm, 0, 0], apical: [0, 0, 1] }, site.facial)
  return { frame, margin: fastMargin(model, frame, profile, surfaceGrid(profile)) }
}

function changed(measure, { frame, margin }, spec, where) {
  return measure(
    `graft, its sizes and the margins with it, built and kept, fast, 72 angles x 41 depths; ${where}`,
    () => {
      const field = graftField({ margin, frame, profile, site, spec })
      const after = graftedMargin(margin, field, 'outer', frame, profile)
      const afterLoss = graftedMargin(margin, field, 'kept', frame, profile)
      const sum = (after.minimum?.radialMm ?? 0) + (afterLoss.minimum?.radialMm ?? 0)
      return graftSize(field, profile).volumeMm3 + graftSize(field, profile, 'kept').volumeMm3 + sum
    },
    { warmup: 5, repeats: 15 },
  )
}

/** Samples within the wanted distance of the fixture's side that are not bone, counted. */
function sampled(runPython, scratch, stepMm) {
  const script = join(scratch, 'graft.py')
  writeFileSync(
    script,
    `
import json, sys, time, numpy as np
from scipy.ndimage import distance_transform_edt
h = float(sys.argv[1])
x = np.arange(-4.5 + h / 2, 4.5, h); z = np.arange(h / 2, ${LENGTH_MM}, h)
t = []
for _ in range(5):
    s = time.perf_counter()
    X, Y = np.meshgrid(x, x, indexing='ij')
    fixture = np.repeat((X ** 2 + Y ** 2 <= 4)[:, :, None], len(z), axis=2)
    d = distance_transform_edt(~fixture, sampling=h)
    n = np.count_nonzero((d > 0) & (d <= 2) & (X > ${INSIDE_MM})[:, :, None])
    t.append(time.perf_counter() - s)
print(json.dumps({'median': float(np.median(t) * 1000), 'volume': n * h ** 3}))
`,
  )
  const { median, volume } = runPython(script, [String(stepMm)], { modules: ['numpy', 'scipy'] })
  const exact = (16 * Math.acos(3 / 4) - 3 * Math.sqrt(7)) * LENGTH_MM
  const off = (100 * (volume / exact - 1)).toFixed(1)
  return {
    name: 'scipy distance_transform_edt, samples counted, no surface',
    median,
    note: `${volume.toFixed(2)} mm3, ${off} % off the closed form ${exact.toFixed(2)}`,
  }
}
