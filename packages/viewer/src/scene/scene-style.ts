import { css } from 'lit'

/**
 * Over the tokens of the sheets. `--alv-hand` of the page colours the fixture and its axis; `--alv-scene-bone`,
 * `--alv-scene-section`, `--alv-scene-crown`, `--alv-scene-channel`, `--alv-scene-graft` and `--alv-scene-graft-kept` the
 * other bodies.
 */
export const sceneStyle = css`
  :host {
    color-scheme: light;
    --paper: var(--panel);
    --mark: var(--alv-hand, var(--hand));
    --bone: var(--alv-scene-bone, light-dark(#d8d1c3, #8f8a80));
    --section: var(--alv-scene-section, light-dark(#a89f8f, #5b5750));
    --crown: var(--alv-scene-crown, light-dark(#f2efe8, #b9b7b2));
    --channel: var(--alv-scene-channel, light-dark(#6f7276, #e4e3df));
    /* Neutral, between warm bone and the hand's blue, so that it is taken for neither. */
    --graft: var(--alv-scene-graft, light-dark(#bcc5c2, #b6c0bc));
    --graft-kept: var(--alv-scene-graft-kept, light-dark(#98a29f, #9aa5a1));
    display: grid;
    grid-template-rows: auto minmax(8rem, 1fr) auto;
    min-height: 14rem;
    background: var(--paper);
    font-size: var(--small);
  }
  :host([sheet='night']) {
    color-scheme: dark;
  }
  :host([hidden]) {
    display: none;
  }
  .tools {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem;
    padding-block-end: 0.25rem;
  }
  button {
    min-block-size: 1.75rem;
    padding-inline: 0.6rem;
    border: 1px solid var(--frame);
    border-radius: 0;
    background: none;
    color: inherit;
    font: inherit;
    cursor: pointer;
  }
  button[aria-pressed='true'] {
    background: var(--ink);
    color: var(--paper);
  }
  .view {
    position: relative;
    overflow: hidden;
    touch-action: none;
    cursor: grab;
    border: 1px solid var(--rule);
  }
  .view:active {
    cursor: grabbing;
  }
  .gl,
  .gl canvas,
  svg {
    position: absolute;
    inset: 0;
    inline-size: 100%;
    block-size: 100%;
  }
  svg {
    pointer-events: none;
  }
  line,
  path,
  polygon,
  polyline {
    fill: none;
    stroke: var(--ink);
    stroke-width: 1;
  }
  .outline {
    stroke-width: 1.5;
    stroke-linecap: round;
  }
  .graft-section {
    fill: var(--graft);
    stroke-width: 0.9;
  }
  .graft-section.kept {
    fill: var(--graft-kept);
    stroke-width: 0.7;
  }
  .axis {
    stroke: var(--mark);
    stroke-width: 1.4;
    stroke-dasharray: 14 3 2 3;
  }
  .exit {
    stroke: var(--mark);
    stroke-width: 1.8;
  }
  .bend {
    stroke-dasharray: 14 3 2 3;
  }
  .reach {
    stroke-width: 0.9;
    stroke-opacity: 0.8;
  }
  .halo {
    stroke: var(--paper);
    stroke-width: 4;
    stroke-opacity: 0.7;
  }
  text {
    fill: var(--ink);
    font: inherit;
    paint-order: stroke;
    stroke: var(--paper);
    stroke-width: 3;
    stroke-linejoin: round;
  }
  .letter {
    text-anchor: middle;
    font-weight: 600;
  }
  .letter.away {
    font-weight: 400;
    fill-opacity: 0.55;
  }
  .arm.away {
    stroke-dasharray: 2 2;
    stroke-opacity: 0.55;
  }
  .message {
    position: absolute;
    inset: 0;
    display: grid;
    place-content: center;
    padding: 1rem;
    text-align: center;
  }
  .caption {
    margin: 0.25rem 0 0;
  }
  .probe.paper {
    color: var(--paper);
  }
  .probe.bone {
    color: var(--bone);
  }
  .probe.section {
    color: var(--section);
  }
  .probe.ink {
    color: var(--ink);
  }
  .probe.hand {
    color: var(--mark);
  }
  .probe.channel {
    color: var(--channel);
  }
  .probe.graft {
    color: var(--graft);
  }
  .probe.graft-kept {
    color: var(--graft-kept);
  }
  .probe.crown {
    color: var(--crown);
  }
`
