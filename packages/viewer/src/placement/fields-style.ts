import { css } from 'lit'

/** Numbers to type, in a row. */
export const fieldsStyle = css`
  .fields {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(var(--field, 4.3rem), 1fr));
    gap: 0.3rem 0.5rem;
  }
  .signs {
    font-weight: 400;
    white-space: nowrap;
  }
  label {
    display: block;
    white-space: nowrap;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .box {
    display: flex;
    align-items: baseline;
    gap: 0.1rem;
    border-bottom: 1px solid var(--hand);
  }
  .box:has(input:disabled) {
    border-color: var(--rule);
  }
  .box input {
    width: 100%;
    min-width: 0;
    min-height: 1.75rem;
    padding: 0;
    border: 0;
    background: none;
    font-size: calc(var(--text) + 0.0625rem);
    color: var(--hand);
    appearance: textfield;
  }
  .box input::-webkit-inner-spin-button {
    display: none;
  }
  @media print {
    .box input,
    .box {
      min-height: 0;
      color: inherit;
      border-color: var(--rule);
    }
  }
`
