import { css } from 'lit'

/**
 * The two sheets. `light-dark()` follows the `color-scheme` that the element inherits: light is paper, dark is night.
 * One accent for what the hand can move, one for what falls below its limit; everything else is ink of three strengths.
 */
export const tokens = css`
  :host {
    --sheet: light-dark(#f7f6f2, #17181a);
    --panel: light-dark(#fdfcf9, #1e1f22);
    --ink: light-dark(#17181a, #ebebe8);
    --ink-2: light-dark(#55585d, #a9abad);
    --rule: light-dark(#c6c4bc, #3d3f43);
    --frame: light-dark(#2b2c2e, #83868a);
    --hand: light-dark(#0b57b0, #7fbcff);
    --below: light-dark(#a80f6b, #ff8fd0);
    /* On a picture both sheets draw alike: bright lines in dark casings read on every grey. */
    --line: #ffffff;
    --casing: rgb(0 0 0 / 0.72);
    --hand-line: #86c1ff;
    --below-line: #ff9ad6;
    --small: 0.75rem;
    --text: 0.875rem;
    --large: 1.25rem;
    box-sizing: border-box;
    color: var(--ink);
    font-family: system-ui, -apple-system, 'Segoe UI', 'Helvetica Neue', Arial, sans-serif;
    font-size: var(--text);
    font-variant-numeric: tabular-nums;
    line-height: 1.35;
  }
  @media screen and (max-width: 1180px) {
    :host {
      --text: 0.8125rem;
      --large: 1.0625rem;
    }
  }
  @media print {
    :host {
      --sheet: #ffffff;
      --panel: #ffffff;
      --text: 8pt;
      --small: 7pt;
      --large: 10pt;
      line-height: 1.2;
    }
  }
  *,
  *::before,
  *::after {
    box-sizing: inherit;
  }
  [hidden] {
    display: none !important;
  }
  :focus-visible {
    outline: 2px solid var(--hand);
    outline-offset: 1px;
  }
`

/** Headings, tables and controls of the panels beside the drawings. */
export const panel = css`
  h2 {
    margin: 0 0 0.35rem;
    font-size: var(--small);
    font-weight: 600;
    letter-spacing: 0.04em;
    color: var(--ink-2);
  }
  p {
    margin: 0;
  }
  .big {
    font-size: var(--large);
    line-height: 1.2;
  }
  .quiet {
    color: var(--ink-2);
    font-size: var(--small);
  }
  .below {
    color: var(--below);
  }
  .cautions > summary {
    cursor: pointer;
    padding: 0.3rem 0;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .cautions .more {
    text-decoration: underline;
  }
  @media screen {
    .cautions.printed {
      display: none;
    }
  }
  @media print {
    details.cautions {
      display: none;
    }
  }
  table {
    border-collapse: collapse;
    width: 100%;
  }
  th,
  td {
    padding: 0.12rem 0.5rem 0.12rem 0;
    text-align: right;
    font-weight: 400;
    border-bottom: 1px solid var(--rule);
    white-space: nowrap;
  }
  th:first-child,
  td:first-child {
    text-align: left;
  }
  th:last-child,
  td:last-child {
    padding-right: 0;
  }
  @media screen and (max-width: 1180px) {
    th,
    td {
      padding-right: 0.3rem;
    }
  }
  thead th {
    font-size: var(--small);
    color: var(--ink-2);
  }
  button,
  select,
  input {
    font: inherit;
    color: inherit;
  }
  button,
  select {
    min-height: 1.75rem;
    padding: 0.15rem 0.65rem;
    border: 1px solid var(--frame);
    border-radius: 2px;
    background: var(--panel);
    cursor: pointer;
  }
  button:hover:not(:disabled) {
    background: var(--ink);
    color: var(--sheet);
  }
  button:disabled {
    color: var(--ink-2);
    border-color: var(--rule);
    cursor: default;
  }
  button[aria-pressed='true'] {
    background: var(--ink);
    color: var(--sheet);
  }
  @media (forced-colors: active) {
    button[aria-pressed='true'] {
      background: Highlight;
      color: HighlightText;
      forced-color-adjust: none;
    }
  }
  @media print {
    button:not(.link) {
      display: none;
    }
  }
`

/** Lines and lettering on the drawings. */
export const drafting = css`
  svg {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    pointer-events: none;
    overflow: hidden;
  }
  path:not(.hatching) {
    fill: none;
    stroke: var(--line);
    stroke-linejoin: round;
  }
  path.hatching {
    stroke: none;
  }
  .out {
    stroke-width: 1.8;
  }
  .thin {
    stroke-width: 1;
  }
  .centre {
    stroke-width: 1;
    stroke-dasharray: 14 3 2 3;
  }
  .dash {
    stroke-width: 1.2;
    stroke-dasharray: 6 4;
  }
  path.cas {
    stroke: var(--casing);
    stroke-dasharray: none;
  }
  path.cas.out {
    stroke-width: 4.4;
  }
  path.cas.thin,
  path.cas.centre,
  path.cas.dash {
    stroke-width: 3;
  }
  path.head {
    fill: var(--line);
    stroke: none;
  }
  path.head.cas {
    fill: var(--casing);
    stroke: var(--casing);
    stroke-width: 2;
  }
  path.hand:not(.cas) {
    stroke: var(--hand-line);
  }
  path.below:not(.cas) {
    stroke: var(--below-line);
  }
  path.head.below:not(.cas) {
    fill: var(--below-line);
    stroke: none;
  }
  text.note {
    fill: var(--line);
    stroke: var(--casing);
    stroke-width: 4px;
    stroke-linejoin: round;
    paint-order: stroke;
    font-size: 13px;
    font-weight: 500;
  }
  text.below {
    fill: var(--below-line);
  }
  text.side {
    font-weight: 600;
  }
  text.quiet {
    font-size: 12px;
    font-weight: 400;
  }
  /* Numbers of an earlier place fade while the new ones are on their way. */
  :host([stale]) .measured {
    opacity: 0.45;
  }
  .hatch {
    stroke: var(--line);
    stroke-width: 1;
    opacity: 0.6;
  }
  .grip {
    pointer-events: all;
    cursor: grab;
  }
  .grip,
  .grip * {
    touch-action: none;
  }
  .grip:active {
    cursor: grabbing;
  }
  .grip .area {
    fill: transparent;
    stroke: none;
  }
  .grip .mark {
    fill: rgb(0 0 0 / 0.55);
    stroke: var(--hand-line);
    stroke-width: 2;
  }
  .grip:hover .mark,
  .grip:focus-visible .mark {
    fill: var(--hand-line);
  }
  .grip:focus {
    outline: none;
  }
`
