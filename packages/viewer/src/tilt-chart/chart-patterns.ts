import { svg } from 'lit'

/** Hatchings of the chart: wider than the margin map's, for on many sites they cover most of the picture. */
export const chartPatterns = svg`<defs>
    <pattern id="low" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <line class="lowline" x1="4.5" y1="0" x2="4.5" y2="9"></line>
    </pattern>
    <pattern id="none" width="9" height="9" patternUnits="userSpaceOnUse">
      <path class="noneline" d="M0,0L9,9M9,0L0,9"></path>
    </pattern>
  </defs>`
