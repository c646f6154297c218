import type { ArchPoint } from './arch.js'
import { ellipsoid, hump, lookup, ramp, smoothMax, smoothMin } from './smooth.js'
import { toothPlaces } from './tooth.js'

/** Distances (mm, negative inside) at a point of the jaw's frame. */
export interface JawSample {
  /** To the outer surface of bone. Marrow, canals and sockets count as bone; nose and sinus do not. */
  bone: number
  /** To the boundary of the marrow, inside the cortex. */
  marrow: number
  /** To the incisive canal. */
  canal: number
  /** To the surface of soft tissue against air; bone and teeth inside count as soft here. */
  soft: number
  /** Share of fat in soft tissue, 0 to 1. */
  fat: number
  /** To the suture between the two halves, a thin sheet of low density. */
  suture: number
}

/** Arc length of the missing right central incisor: the patient's right is negative. */
export const siteS = -3.85

/** Shape of the missing tooth's ridge. */
export interface Ridge {
  /** How far the facial surface has gone back at its deepest. */
  readonly concavityMm: number
  /** Thickness of the facial cortex at the site. */
  readonly plateMm: number
  /** How much the crest has sunk. */
  readonly crestLossMm: number
}

/** What changes along the arch only, once and for all. */
const alongArch = (f: (s: number) => number) => lookup(f, -60, 60)
const frontAt = alongArch((s) => hump(s, 23))
const siteAt = alongArch((s) => hump(s - siteS, 3.7))
/** Bulges over the roots that are there. */
const jugaAt = alongArch((s) =>
  toothPlaces.reduce((sum, place) => sum + (place === siteS ? 0 : 0.75 * hump(s - place, 2.5)), 0),
)
/** 1 between teeth, 0 at the middle of a tooth. */
const papillaAt = alongArch((s) => Math.min(...toothPlaces.map((place) => 1 - hump(s - place, 2.3))))

/** The jaw as one function of a point and its arch coordinates. */
export function createJaw(
  ridge: Ridge,
): (x: number, y: number, z: number, at: ArchPoint, out: JawSample) => void {
  const way: Airways = { nose: 9, sinus: 9, septum: 9, septumX: 9 }
  return (x, y, z, at, out) => {
    const { s, t } = at
    const front = frontAt(s)
    const site = siteAt(s)
    const up = Math.min(z, 15)

    // Facial surface: leans back going up, bulges over roots, hollow below the nasal spine, gone back at the site.
    const papilla = papillaAt(s)
    const roots = jugaAt(s) * ramp(13.5 - z, 0, 7)
    const wave = 0.16 * Math.sin(0.55 * s + 0.3 * z + 1) + 0.1 * Math.sin(1.1 * z - 0.4 * s)
    const hollow = 0.9 * hump(z - 11.5, 4.5) * (1 - 0.6 * site)
    const spine = 3.6 * hump(x + 0.3, 2.6) * hump(z - 16.5, 2.4)
    const lost = ridge.concavityMm * site * (0.3 * hump(z - 1, 3) + 0.85 * hump(z - 6.5, 4.2))
    const lean = 0.24 * front
    const facialT = 3.35 - lean * up + roots + wave - hollow + spine - lost
    // Palatal surface: slopes back to the vault, steeper behind.
    const slope = 0.14 + 0.1 * front
    const palatalT =
      -4.9 - lean * up - slope * up - 0.013 * up * up * (up > 0 ? 1 : 0) + 0.15 * Math.sin(0.4 * s + 0.5 * z)
    const facial = (t - facialT) / Math.sqrt(1 + (lean + 0.05) ** 2)
    const palatal = (palatalT - t) / Math.sqrt(1 + (lean + slope + 0.02 * Math.max(0, up)) ** 2)
    const crestZ =
      0.5 - 0.85 * papilla * (1 - 0.8 * site) + ridge.crestLossMm * site + 0.15 * Math.sin(0.8 * s)
    const crest = crestZ - z
    const vaultZ = 13 + 0.06 * (y - 12) + 0.008 * x * x * 0.5 + 0.2 * Math.sin(0.35 * y + 0.3 * x)
    const vault = vaultZ - z

    const process = smoothMax(smoothMax(facial, palatal, 3), crest, 2.6)
    const palate = smoothMax(vault, t + 1, 2)

    const body = smoothMin(process, palate, 5)
    airways(x, y, z, way)
    const { nose, sinus } = way
    const hollowed = smoothMax(smoothMax(body, -nose, 2.6), -sinus, 1.2)
    out.bone = smoothMin(hollowed, way.septum, 0.8)

    // Cortex: thin in front, thinnest at the site, thick behind; as a second, smaller body inside.
    const plate = (0.95 - 0.25 * ramp(z, 6, 12) * front) * (1 - site) + ridge.plateMm * site
    const facialCortex = plate + 0.08 * Math.sin(0.9 * z + 0.7 * s)
    const palatalCortex = 1.35 + 0.5 * ramp(z, 1, 9) + 0.15 * Math.sin(0.5 * z + 0.6 * s)
    const crestCortex = 0.75 + 0.2 * site
    const innerProcess = smoothMax(
      smoothMax(facial + facialCortex, palatal + palatalCortex, 2.4),
      crest + crestCortex,
      2.6,
    )
    const innerPalate = smoothMax(vault + 1.3, t + 1, 2)
    const inner = smoothMin(innerProcess, innerPalate, 4)
    out.marrow = smoothMax(smoothMax(inner, -nose + 0.75, 2.2), -sinus + 0.6, 1)

    out.canal = canal(x, y, z)
    out.suture =
      Math.abs(x + 0.12 * Math.sin(1.3 * z) + 0.1 * Math.sin(2.1 * y)) - 0.13 - 0.02 * z * (z < 0 ? 1 : 0)
    // Deep inside bone or far in front of it the soft surfaces need not be known.
    if (out.bone < -2.5) {
      out.soft = -2.5
      out.fat = 0
      return
    }
    out.fat = fatShare(s, t, z)
    out.soft = softSurface(x, y, z, s, t, {
      facial: facial - 0.1 * wave,
      palatal,
      vault,
      nose,
      sinus,
      septumX: way.septumX,
      papilla,
      site,
      crestZ,
    })
  }
}

interface Airways {
  nose: number
  sinus: number
  /** Bone of the septum, and the distance from its middle plane. */
  septum: number
  septumX: number
}

/** Two nasal passages with a flat floor, the sinuses, and the septum on its low ridge; all lie above the palate. */
function airways(x: number, y: number, z: number, out: Airways): void {
  if (z < 10) {
    out.nose = 9
    out.sinus = 9
    out.septum = 9
    out.septumX = 9
    return
  }
  const floorZ =
    17.4 +
    0.05 * (y - 8) -
    0.5 * hump(Math.abs(x) - 6.5, 4) +
    0.7 * hump(x, 1.4) +
    0.22 * Math.sin(0.5 * y + 0.7 * x)
  out.nose = smoothMax(floorZ - z, ellipsoid(x, 0, z - 27, 12.5, 1, 14.5), 2.5)
  out.sinus = ellipsoid(Math.abs(x) - 20.5, y - 26, z - 27, 6.6, 13, 11.5)
  out.septumX = x - 0.9 * Math.sin(0.16 * z + 0.09 * y - 1.2)
  out.septum = Math.max(Math.abs(out.septumX) - 0.5, 9 + 0.35 * (z - 17) - y, 16 - z)
}

/** The incisive canal: from a funnel behind the central incisors up and back to the nasal floor. */
function canal(x: number, y: number, z: number): number {
  const middleX = x - 0.25 - 0.05 * Math.sin(0.5 * z)
  const middleY = y - (8.6 + 0.27 * (z - 6) + 0.012 * (z - 6) ** 2)
  const radius = 1.25 + 0.9 * hump(z - 4.5, 3) + 0.25 * ramp(z, 12, 17)
  return (Math.sqrt(middleX ** 2 + (middleY * 0.94) ** 2) - radius) * 0.96
}

/** Skin from the arch line: a full lip below, a shallow groove above it, then forward to the base of the nose. */
const skinT = (s: number, z: number): number =>
  11 +
  1.3 * hump(z + 5.5, 4.5) +
  0.1 * Math.max(0, z - 4) -
  0.35 * hump(s - 0.2, 2) * ramp(z, -6, 2) +
  0.5 * Math.sin(0.09 * s)

/** Fat under the skin of lip and cheek and a little between the muscles. */
const fatShare = (s: number, t: number, z: number): number =>
  0.95 * hump(t - skinT(s, z) + 2.3 + 0.4 * Math.sin(0.5 * s + 0.4 * z), 0.85) * ramp(z, -7, 0) +
  0.4 * hump(t - 7.2, 0.7) * ramp(z, 2, 9)

interface Surfaces {
  readonly facial: number
  readonly palatal: number
  readonly vault: number
  readonly nose: number
  readonly sinus: number
  readonly septumX: number
  readonly papilla: number
  readonly site: number
  readonly crestZ: number
}

function softSurface(x: number, y: number, z: number, s: number, t: number, b: Surfaces): number {
  // Gum: scalloped margin, papillae between teeth, flat over the healed site.
  const margin = -2.9 - 2.3 * b.papilla * (1 - b.site) + 0.9 * b.site
  const rim = Math.min(margin, b.crestZ - 2.5) - 0.7
  const thin = 1.25 + 0.35 * ramp(z, -3, 4) + 0.5 * b.site + 0.12 * Math.sin(0.9 * s + z)
  const palatalGum = 2.5 + 0.7 * Math.sin(0.7 * z + 0.25 * s) * 0.35
  const gum = smoothMax(smoothMax(b.facial - thin, b.palatal - palatalGum, 4), rim - z, 4.2)
  const roof = smoothMax(b.vault - 2.3 - 0.35 * Math.sin(1.5 * y) * hump(x, 9) * ramp(16 - y, 0, 6), t + 1, 2)

  // Lip and cheek: a fold of air (the vestibule) parts them from gum and crowns and ends below the nose.
  const front = frontAt(s)
  const fornix = 8.2 + 1.2 * Math.sin(0.16 * s + 0.7) - 2.2 * hump(s - 0.3, 1.3)
  const gap = 0.075 * (fornix - z) + 0.2 * Math.sin(0.3 * s + 0.9)
  const inside = 4.5 - 0.24 * front * Math.max(z, -4) * ramp(z, -12, 0) + 0.1 * Math.max(0, -z) + gap
  const outside = skinT(s, z)
  const lipEdge = -9.8 - 0.25 * Math.abs(s) * ramp(Math.abs(s), 6, 20)
  const lip = smoothMax(smoothMax(inside - t, t - outside, 4), lipEdge - z, 6)

  const tongue = ellipsoid(x - 0.8, y - 31, z + 10, 17.5, 20, 15.5) + 0.3 * hump(x - 0.8, 2)
  const tissue = smoothMin(smoothMin(smoothMin(gum, roof, 4), lip, 0.9), tongue, 0.5)

  if (z < 10) return tissue

  // Air in nose and sinus, less their lining, the septum and the lower turbinates.
  const turbinate = ellipsoid(Math.abs(x + 0.3) - 7.4, y - 22, z - 24.5, 2.5, 17, 3.6)
  const vestibule = 2.5 - 0.55 * (z - 19) - y
  const nasal = smoothMax(smoothMax(b.nose + 0.9, vestibule, 2), 1.9 - Math.abs(b.septumX), 1.2)
  const airNose = smoothMax(nasal, -turbinate, 1)
  return Math.max(tissue, -Math.min(airNose, b.sinus + 1))
}
