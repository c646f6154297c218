import { css } from 'lit'

/** The form of the grey calibration: a row of fields a point, on two lines where it is narrow. */
export const calibrationStyle = css`
  :host {
    display: block;
    container-type: inline-size;
  }
  fieldset {
    display: grid;
    grid-template-columns: minmax(5rem, 1fr) 4.2rem 3rem 4.2rem 3rem auto;
    gap: 0.2rem 0.5rem;
    align-items: end;
    min-width: 0;
    margin: 0;
    padding: 0.25rem 0 0.35rem 0.5rem;
    border: 0;
    border-left: 2px solid transparent;
    border-bottom: 1px solid var(--rule);
  }
  fieldset.next {
    border-left-color: var(--hand);
  }
  legend {
    position: absolute;
    width: 1px;
    height: 1px;
    overflow: hidden;
    clip-path: inset(50%);
  }
  label {
    display: block;
    min-width: 0;
    font-size: var(--small);
    color: var(--ink-2);
    white-space: nowrap;
  }
  input {
    display: block;
    width: 100%;
    min-width: 0;
    min-height: 1.75rem;
    padding: 0;
    border: 0;
    border-bottom: 1px solid var(--hand);
    border-radius: 0;
    background: none;
    font-size: calc(var(--text) + 0.0625rem);
    color: var(--hand);
  }
  input:focus-visible {
    outline-offset: -1px;
  }
  input[aria-invalid='true'] {
    border-bottom: 2px solid var(--below);
  }
  .tools {
    display: flex;
    gap: 0.3rem;
  }
  .tools button {
    padding: 0.1rem 0.45rem;
  }
  .estimate {
    color: var(--ink-2);
    font-style: italic;
  }
  @container (max-width: 29rem) {
    fieldset {
      grid-template-columns: 1fr 3fr 2fr 3fr 2fr;
    }
    .what {
      grid-column: 1 / 4;
    }
    .tools {
      grid-column: 4 / 6;
      grid-row: 1;
      justify-self: end;
    }
    .grey {
      grid-column: 1 / 3;
    }
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.35rem 0.5rem;
    align-items: center;
    margin-top: 0.5rem;
  }
  .row .quiet {
    flex: none;
  }
  .says {
    margin-top: 0.4rem;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .result {
    margin-top: 0.5rem;
    min-height: 2.7em;
  }
  .problem {
    padding-left: 0.5rem;
    border-left: 4px solid var(--below);
  }
  @media print {
    .row,
    .tools {
      display: none;
    }
  }
`
