import type { TiltChart } from '@alveometer/core'
import { type Box, meet } from './boxes.js'
import type { ChartGrid } from './chart-grid.js'
import type { ChartMarks } from './chart-marks.js'
import { contours } from './contours.js'
import { exitZones } from './exit-zones.js'
import { type Lettering, lettering } from './lettering.js'

/** The longer words need as much, pixels. */
const widePx = 480

/** As in the style of the lettering. */
const fonts: Readonly<Record<Lettering['kind'], string>> = {
  zone: '700 13px',
  limit: '700 12px',
  bend: '600 12px',
  graft: '600 12px',
}

/** From which of its parts the marks of a chart follow. */
const madeOf = ({
  exit,
  correctionDeg,
  graftMm3,
  coarseness,
  spec,
  limits,
}: TiltChart): readonly unknown[] => [exit, correctionDeg, graftMm3, coarseness, spec, limits]

const alike = (a: readonly unknown[], b: readonly unknown[]): boolean => a.every((value, n) => value === b[n])

/**
 * Lines and lettering of a chart, kept while it and its size stay: a pointer that goes over the picture needs no new ones,
 * and letters rest where they are until the plan comes upon them, while it is dragged even then.
 */
export class ChartDrawn {
  readonly #host: Element
  readonly #widths = new Map<string, number>()
  #brush: CanvasRenderingContext2D | null = null
  #lines: Omit<ChartMarks, 'lettering'> = { zones: [], contours: [] }
  #lettering: ReturnType<typeof lettering> = { letters: [], complete: true }
  #from: readonly unknown[] = []
  #size = ''
  #taken = ''

  constructor(host: Element) {
    this.#host = host
  }

  marks(chart: TiltChart, grid: ChartGrid, taken: readonly Box[], resting: boolean): ChartMarks {
    const [from, size] = [madeOf(chart), `${grid.width} ${grid.height}`]
    const same = size === this.#size && alike(from, this.#from)
    if (!same) this.#lines = { zones: exitZones(chart, grid), contours: contours(chart, grid) }
    const hit = this.#lettering.letters.some(({ box }) => taken.some((other) => meet(box, other)))
    const places = JSON.stringify(taken)
    const wanting = !this.#lettering.complete && places !== this.#taken
    if (!same || (!resting && (hit || wanting))) {
      const room = { grid, taken, wide: grid.width >= widePx, widthOf: this.widthOf }
      this.#taken = places
      this.#lettering = lettering(this.#lines.zones, this.#lines.contours, room)
    }
    this.#from = from
    this.#size = size
    return { ...this.#lines, lettering: this.#lettering.letters }
  }

  /** Width of a text on the chart, pixels. */
  readonly widthOf = (text: string, kind: Lettering['kind']): number => {
    const font = fonts[kind]
    const key = `${font} ${text}`
    const known = this.#widths.get(key)
    if (known !== undefined) return known
    this.#brush ??= document.createElement('canvas').getContext('2d')
    if (this.#brush === null) return 8 * text.length
    this.#brush.font = `${font} ${getComputedStyle(this.#host).fontFamily}`
    const { width } = this.#brush.measureText(text)
    this.#widths.set(key, width)
    return width
  }
}
