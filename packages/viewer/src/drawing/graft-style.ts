import { css } from 'lit'

/** Hatchings of a graft and the key to them. */
export const graftStyle = css`
  .shade {
    fill: rgb(0 0 0 / 0.34);
    stroke: none;
  }
  .graft-line {
    stroke: var(--line);
    stroke-width: 1.1;
    opacity: 0.85;
  }
  .graft-dot {
    fill: var(--line);
    stroke: none;
    opacity: 0.9;
  }
  .phantom {
    stroke-width: 1;
    stroke-dasharray: 12 3 2 3 2 3;
  }
  path.cas.phantom {
    stroke-width: 3;
  }
  .key text {
    fill: var(--line);
    stroke: var(--casing);
    stroke-width: 4px;
    stroke-linejoin: round;
    paint-order: stroke;
    font-size: 12px;
  }
  .key rect.under {
    fill: var(--casing);
    stroke: none;
  }
  .key rect.swatch {
    stroke: var(--line);
    stroke-width: 1;
  }
`
