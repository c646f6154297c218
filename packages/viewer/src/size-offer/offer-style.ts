import { css } from 'lit'

export const offerStyle = css`
  :host {
    max-width: 68rem;
  }
  .lead {
    margin-bottom: 1rem;
    overflow-wrap: anywhere;
  }
  .ways {
    display: grid;
    grid-template-columns: minmax(0, 1fr) minmax(0, 1.6fr);
    gap: 1rem;
    align-items: start;
  }
  .way {
    display: grid;
    gap: 0.6rem;
    justify-items: start;
    padding: 0.9rem 1rem 1rem;
    border: 1px solid var(--frame);
    background: var(--panel);
  }
  h3 {
    margin: 0;
    font-size: var(--text);
    font-weight: 600;
  }
  .load {
    border-color: var(--hand);
    color: var(--hand);
    min-height: 2.25rem;
  }
  .load:hover:not(:disabled) {
    background: var(--hand);
    color: var(--panel);
  }
  .choice {
    display: flex;
    flex-wrap: wrap;
    gap: 1rem;
    align-items: stretch;
  }
  .picture {
    position: relative;
    align-self: start;
    line-height: 0;
    background: #606060;
  }
  .picture canvas {
    width: auto;
    height: 9.5rem;
    max-width: 60vw;
  }
  .picture svg {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
  }
  .picture rect {
    fill: none;
    stroke: var(--hand-line);
    stroke-width: 2;
    vector-effect: non-scaling-stroke;
  }
  .picture rect.cas {
    stroke: var(--casing);
    stroke-width: 5;
  }
  .slices {
    width: 0.9rem;
    height: 9.5rem;
    margin-left: -0.5rem;
  }
  .slices .whole {
    fill: none;
    stroke: var(--frame);
    stroke-width: 1;
    vector-effect: non-scaling-stroke;
  }
  .slices .some {
    fill: var(--hand);
  }
  .fields {
    display: grid;
    grid-template-columns: auto 4.5rem 4.5rem auto;
    gap: 0.35rem 0.6rem;
    align-items: center;
    align-content: start;
  }
  input[type='number'] {
    width: 100%;
    min-height: 1.75rem;
    padding: 0;
    border: 0;
    border-bottom: 1px solid var(--hand);
    background: none;
    color: var(--hand);
    appearance: textfield;
  }
  input[type='number']::-webkit-inner-spin-button {
    display: none;
  }
  .check {
    display: flex;
    gap: 0.4rem;
    align-items: center;
    min-height: 1.5rem;
  }
  input[type='checkbox'] {
    accent-color: var(--hand);
  }
  .outcome .big {
    display: block;
  }
  @media screen and (max-width: 760px) {
    .ways {
      grid-template-columns: minmax(0, 1fr);
    }
  }
`
