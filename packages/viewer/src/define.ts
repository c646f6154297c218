import { AlvChairside } from './chairside/index.js'
import { AlvCollar } from './collar/index.js'
import { AlvCrownForm, AlvCrownImport } from './crown-form/index.js'
import { AlvCrownView } from './crown-view/index.js'
import { AlvDecision } from './decision/index.js'
import { AlvCheckPicture, AlvGeometryCheck } from './geometry-check/index.js'
import { AlvGraftForm } from './graft-form/index.js'
import { AlvGreyCalibration } from './grey-calibration/index.js'
import { AlvLoadReport } from './load-report/index.js'
import { AlvMarginMap } from './margin-map/index.js'
import { AlvMissCloud } from './miss-cloud/index.js'
import { AlvPlacement } from './placement/index.js'
import { AlvDensity, AlvEmergence, AlvExit, AlvFindings, AlvGraft, AlvMargin } from './readout/index.js'
import { AlvRetention } from './retention/index.js'
import { AlvSection } from './section/index.js'
import { AlvSeriesChooser } from './series-chooser/index.js'
import { AlvSizeOffer } from './size-offer/index.js'
import { AlvTiltChart } from './tilt-chart/index.js'
import { AlvTitleBlock } from './title-block/index.js'
import { AlvWayPicture, AlvWaysOut } from './ways-out/index.js'

const elements: Readonly<Record<string, CustomElementConstructor>> = {
  'alv-chairside': AlvChairside,
  'alv-check-picture': AlvCheckPicture,
  'alv-collar': AlvCollar,
  'alv-crown-view': AlvCrownView,
  'alv-crown-form': AlvCrownForm,
  'alv-crown-import': AlvCrownImport,
  'alv-decision': AlvDecision,
  'alv-density': AlvDensity,
  'alv-emergence': AlvEmergence,
  'alv-exit': AlvExit,
  'alv-findings': AlvFindings,
  'alv-geometry-check': AlvGeometryCheck,
  'alv-graft': AlvGraft,
  'alv-graft-form': AlvGraftForm,
  'alv-grey-calibration': AlvGreyCalibration,
  'alv-load-report': AlvLoadReport,
  'alv-margin': AlvMargin,
  'alv-margin-map': AlvMarginMap,
  'alv-miss-cloud': AlvMissCloud,
  'alv-placement': AlvPlacement,
  'alv-retention': AlvRetention,
  'alv-section': AlvSection,
  'alv-series-chooser': AlvSeriesChooser,
  'alv-size-offer': AlvSizeOffer,
  'alv-tilt-chart': AlvTiltChart,
  'alv-title-block': AlvTitleBlock,
  'alv-way-picture': AlvWayPicture,
  'alv-ways-out': AlvWaysOut,
}

/** Registers all elements but the 3D view, which comes when it is asked for. A tag that is taken stays as it is. */
export function defineElements(): void {
  for (const [tag, element] of Object.entries(elements))
    if (customElements.get(tag) === undefined) customElements.define(tag, element)
}

declare global {
  interface HTMLElementTagNameMap {
    'alv-chairside': AlvChairside
    'alv-check-picture': AlvCheckPicture
    'alv-collar': AlvCollar
    'alv-crown-view': AlvCrownView
    'alv-crown-form': AlvCrownForm
    'alv-crown-import': AlvCrownImport
    'alv-decision': AlvDecision
    'alv-density': AlvDensity
    'alv-emergence': AlvEmergence
    'alv-exit': AlvExit
    'alv-findings': AlvFindings
    'alv-geometry-check': AlvGeometryCheck
    'alv-graft': AlvGraft
    'alv-graft-form': AlvGraftForm
    'alv-grey-calibration': AlvGreyCalibration
    'alv-load-report': AlvLoadReport
    'alv-margin': AlvMargin
    'alv-margin-map': AlvMarginMap
    'alv-miss-cloud': AlvMissCloud
    'alv-placement': AlvPlacement
    'alv-retention': AlvRetention
    'alv-section': AlvSection
    'alv-series-chooser': AlvSeriesChooser
    'alv-size-offer': AlvSizeOffer
    'alv-tilt-chart': AlvTiltChart
    'alv-title-block': AlvTitleBlock
    'alv-way-picture': AlvWayPicture
    'alv-ways-out': AlvWaysOut
  }
}
