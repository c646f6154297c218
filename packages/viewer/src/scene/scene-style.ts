import { css } from 'lit'

/**
 * Two sheets. Custom properties of the page win over the colours here:
 * --alv-paper, --alv-ink, --alv-hand, and for the scene alone --alv-scene-bone, --alv-scene-section, --alv-scene-crown.
 */
export const sceneStyle = css`
  :host {
    --paper: var(--alv-paper, #f6f4ee);
    --ink: var(--alv-ink, #23262b);
    --hand: var(--alv-hand, #1f5f99);
    --bone: var(--alv-scene-bone, #d8d1c3);
    --section: var(--alv-scene-section, #a89f8f);
    --crown: var(--alv-scene-crown, #f2efe8);
    display: grid;
    grid-template-rows: auto minmax(8rem, 1fr) auto;
    min-height: 16rem;
    background: var(--paper);
    color: var(--ink);
    font: 400 0.8125rem / 1.4 var(--alv-font, system-ui, sans-serif);
    font-variant-numeric: tabular-nums;
  }
  :host([sheet='night']) {
    --paper: var(--alv-paper, #17181a);
    --ink: var(--alv-ink, #d9dadc);
    --hand: var(--alv-hand, #6fb1ea);
    --bone: var(--alv-scene-bone, #8f8a80);
    --section: var(--alv-scene-section, #5b5750);
    --crown: var(--alv-scene-crown, #b9b7b2);
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
    border: 1px solid color-mix(in srgb, var(--ink) 45%, transparent);
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
  button:focus-visible,
  .view:focus-visible {
    outline: 2px solid var(--hand);
    outline-offset: 1px;
  }
  .view {
    position: relative;
    overflow: hidden;
    touch-action: none;
    cursor: grab;
    border: 1px solid color-mix(in srgb, var(--ink) 25%, transparent);
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
  .axis {
    stroke: var(--hand);
    stroke-width: 1.4;
    stroke-dasharray: 14 3 2 3;
  }
  .exit {
    stroke: var(--hand);
    stroke-width: 1.8;
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
    color: var(--hand);
  }
  .probe.crown {
    color: var(--crown);
  }
`
