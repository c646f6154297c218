import { css } from 'lit'

/** Hatchings, lines and lettering over the picture, and their samples in the legend. */
export const marksStyle = css`
  .shown {
    fill: #ffffff;
  }
  .broken {
    fill: #000000;
  }
  .lowline {
    stroke: var(--below-line);
    stroke-width: 1.1;
    opacity: 0.8;
  }
  path.noneline:not(.hatching) {
    stroke: var(--ink-2);
    stroke-width: 0.8;
  }
  path.upright {
    stroke-width: 0.9;
    stroke-dasharray: 14 3 2 3;
    opacity: 0.75;
  }
  path.zone {
    stroke-width: 1.4;
  }
  path.cas.zone {
    stroke-width: 3.4;
  }
  path.wanted {
    stroke-width: 2.8;
  }
  path.cas.wanted {
    stroke-width: 5.4;
  }
  path.tick {
    stroke-width: 2;
  }
  path.cas.tick {
    stroke-width: 4;
  }
  path.bend,
  path.limit {
    stroke-width: 1.2;
    stroke-dasharray: 6 4;
  }
  path.limit {
    stroke-width: 2.4;
    stroke-dasharray: 9 5;
  }
  path.graft {
    stroke-width: 1.2;
    stroke-dasharray: 9 3 1.5 3 1.5 3;
  }
  path.cas.bend,
  path.cas.graft {
    stroke-width: 3;
  }
  path.cas.limit {
    stroke-width: 4.6;
  }
  text.note {
    font-size: 12px;
  }
  text.note.zone {
    font-size: 13px;
    font-weight: 700;
  }
  text.note.limit {
    font-weight: 700;
  }
  text.note.hand {
    fill: var(--hand-line);
    font-weight: 600;
  }
  path.best {
    stroke-width: 1.8;
  }
  path.cas.best {
    stroke-width: 4;
  }
  path.ring {
    stroke-width: 2.8;
  }
  path.cas.ring {
    stroke-width: 5.4;
  }
  path.hair {
    stroke-width: 1.6;
  }
  path.cas.hair {
    stroke-width: 4;
  }
  path.head.hand:not(.cas) {
    fill: var(--hand-line);
    stroke: none;
  }
`
