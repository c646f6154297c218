import { resolveLimits, sectorsOf } from '../src/assess/index.js'
import { NODE_BONE, NODE_OUTSIDE, type SiteSurface } from '../src/bone/index.js'
import { clearance } from '../src/clearance/index.js'
import { accessProbe } from '../src/crown/index.js'
import type { ExploredSite } from '../src/explore/index.js'
import { realPoseMeter } from '../src/explore/real-pose-meter.js'
import { placedCrown } from '../src/plan/index.js'
import { dot, fromFrame, toRows, type Vec3 } from '../src/space/index.js'
import { uprightPlan } from './plan-fixture.js'
import { seeded } from './random-meshes.js'
import { type Face, slabSite } from './tilt-chart-meter.js'
import { strewnScene } from './ways-out-sites.js'

const TEETH = ['11', '21', '12', '23', '14', '24', '31', '43'] as const

/**
 * A strewn ridge as a field of distances, under a crown of the table that stands turned and moved over it, measured by the
 * meter that scans are. The frames are those of `uprightPlan`, also in the lower jaw.
 */
export function realSite(seed: number): ExploredSite {
  const next = seeded(7000 + seed)
  const between = (from: number, to: number): number => from + (to - from) * next()
  const tooth = TEETH[seed % TEETH.length]
  const scene = strewnScene(seed)
  const turn = (between(-8, 8) * Math.PI) / 180
  const pose = toRows(
    fromFrame(
      [Math.cos(turn), 0, Math.sin(turn)],
      [0, 1, 0],
      [-Math.sin(turn), 0, Math.cos(turn)],
      [between(-1, 1.5), between(-0.5, 0.5), -3.5],
    ),
  )
  const plan = uprightPlan({
    site: { tooth, facial: [1, 0, 0], coronal: [0, 0, -1] },
    crown: { kind: 'tabulated', tooth, pose },
    limits: { facialMarginMm: [1, 1.3, 1.6][seed % 3] },
  })
  const crown = placedCrown(plan)
  const limits = resolveLimits(tooth, plan.limits)
  const { model } = slabSite({ faces: [] })
  const surface = { ...surfaceOf(scene.faces, scene.hollow), model }
  const of = (code: string): number => limits(code).value
  const metered = {
    ...{ surface, facial: plan.site.facial, sectors: sectorsOf(tooth), limits },
    clearance: clearance([]),
    access: accessProbe({
      ...{ ...crown, site: plan.site },
      limits: {
        edgeBandMm: of('edgeBandMm'),
        bendPivotMm: of('bendPivotMm'),
        wantedPalatalMm: of('wantedPalatalMm'),
        channelDiameterMm: of('channelDiameterMm'),
        leastWallMm: of('leastWallMm'),
        correctionDeg: of('correctionDeg'),
      },
    }),
  }
  return {
    ...{ plan, model, surface, crown, limits },
    meter: (shape = plan.fixture.shape) => realPoseMeter(metered, shape),
  }
}

function surfaceOf(
  faces: readonly Face[],
  hollow: { readonly x: number; readonly z: number; readonly radiusMm: number } | undefined,
): Omit<SiteSurface, 'model'> {
  const [nx, ny, nz]: Vec3 = [81, 61, 91]
  const stepMm = 0.3
  const originMm: Vec3 = [-12.03, -9.06, -6.02]
  const distanceMm = Float32Array.from({ length: nx * ny * nz }, (_, node) => {
    const p: Vec3 = [
      originMm[0] + stepMm * (node % nx),
      originMm[1] + stepMm * (Math.floor(node / nx) % ny),
      originMm[2] + stepMm * Math.floor(node / (nx * ny)),
    ]
    const flat = Math.min(...faces.map(({ n, at }) => at - dot(n, p)))
    return hollow === undefined
      ? flat
      : Math.min(flat, Math.hypot(p[0] - hollow.x, p[2] - hollow.z) - hollow.radiusMm)
  })
  const kinds = Uint8Array.from(distanceMm, (mm) => (mm > 0 ? NODE_BONE : NODE_OUTSIDE))
  return { originMm, stepMm, shape: [nx, ny, nz], distanceMm, kinds, hardness: kinds.map(() => 0) }
}
