import type {
  CrownMarks,
  ImagePlane,
  LimitsCounted,
  NeighbourMarks,
  PlacementError,
  Plan,
  TiltChartSpec,
  Vec3,
  WayFound,
} from '@alveometer/core'
import type { GeometryAnswers, Reduction } from '@alveometer/scan'
import type { CrownChoice } from './crown-form/crown-choice.js'
import type { GreyWindow } from './drawing/grey.js'

/** How a change of the plan came about: a step of its own, or the start, middle, end or breaking off of a drag. */
export type MovePhase = 'step' | 'begin' | 'move' | 'end' | 'cancel'

/** The hand moved something: the plan as it should be now. */
export interface PlanMove {
  readonly phase: MovePhase
  readonly plan: Plan
}

/** A drawing shows another plane and needs its picture. */
export interface ViewChange {
  readonly name: string
  readonly plane: ImagePlane
}

/** A place in a drawing: where it lies in the patient, LPS mm, and the directions of the drawing there. */
export interface DrawnPlace {
  readonly centre: Vec3
  readonly right: Vec3
  readonly down: Vec3
}

/** A place on a tooth beside the gap. */
export interface NeighbourPlace {
  readonly side: 'mesial' | 'distal'
  readonly mark: keyof NeighbourMarks
}

/** The fixture should stand at a place of the tilt chart: values of its columns, degrees, and of its rows, degrees or mm. */
export interface ChartMove {
  readonly phase: MovePhase
  readonly column: number
  readonly row: number
}

/** What the elements tell; all bubble and cross shadow boundaries. */
export interface AlvEvents {
  'alv-plan': CustomEvent<PlanMove>
  'alv-view': CustomEvent<ViewChange>
  'alv-collar-depth': CustomEvent<{ readonly depthMm: number }>
  'alv-window': CustomEvent<GreyWindow>
  /** A place on the crown's surface was shown for one of its landmarks, LPS mm. */
  'alv-crown-mark': CustomEvent<{ readonly mark: keyof CrownMarks; readonly at: Vec3 }>
  'alv-chart-pose': CustomEvent<ChartMove>
  /** Another tilt chart is wanted. */
  'alv-chart-spec': CustomEvent<TiltChartSpec>
  /** The fixture should stand as a way out places it. */
  'alv-adopt-way': CustomEvent<Pick<WayFound, 'way' | 'pose' | 'shape'>>
  /** The plan from before a way out was adopted should come back. */
  'alv-adopt-back': CustomEvent<null>
  /** Placements should be taken to miss their plan by so much. */
  'alv-placement-error': CustomEvent<PlacementError>
  /** Other limits are to count in the miss cloud's sums. */
  'alv-limits-counted': CustomEvent<{ readonly counted: LimitsCounted }>
  /** The place that was asked for in a drawing. */
  'alv-pick': CustomEvent<DrawnPlace>
  /** A place on a neighbouring tooth waits to be pointed at in a drawing. */
  'alv-pick-neighbour': CustomEvent<NeighbourPlace>
  /** A landmark of the crown waits to be pointed at on the crown; null: none does any more. */
  'alv-mark-crown': CustomEvent<{ readonly mark: keyof CrownMarks | null }>
  /** A crown is to be read from a mesh file. */
  'alv-crown-file': CustomEvent<{ readonly file: File }>
  /** What a person chose for the crown's mesh file that is asked about. */
  'alv-crown-choice': CustomEvent<CrownChoice>
  /** The plan's grey values are to be read by this calibration; undefined: by none. */
  'alv-grey-calibration': CustomEvent<{ readonly calibration: Plan['calibration'] }>
  /** A point of the grey calibration waits for a grey value from a drawing. */
  'alv-pick-grey': CustomEvent<null>
  /** Open this series of the pick. */
  'alv-choose-series': CustomEvent<{ readonly id: string }>
  /** Everything that was open about a scan's geometry is answered. */
  'alv-confirm-geometry': CustomEvent<{ readonly answers: GeometryAnswers }>
  /** Open the scan that is too large at half resolution, in part, or both. */
  'alv-reduce': CustomEvent<Reduction>
  /** Leave what is asked unanswered. */
  'alv-leave': CustomEvent<null>
  /** Stop the running load. */
  'alv-cancel-load': CustomEvent<null>
  /** An error was read. */
  'alv-dismiss': CustomEvent<null>
}

declare global {
  interface HTMLElementEventMap extends AlvEvents {}
}

type Detail<K extends keyof AlvEvents> = AlvEvents[K] extends CustomEvent<infer D> ? D : never

export function tell<K extends keyof AlvEvents>(from: EventTarget, name: K, detail: Detail<K>): void {
  from.dispatchEvent(new CustomEvent(name, { detail, bubbles: true, composed: true }))
}
