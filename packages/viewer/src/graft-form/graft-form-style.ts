import { css } from 'lit'

/** The kind of graft with its switches, and below them its numbers. */
export const graftFormStyle = css`
  .row > .fields {
    --field: 3.6rem;
    flex: 1 1 14rem;
  }
  .row.kind {
    gap: 0.2rem 0.7rem;
    align-items: center;
    margin-bottom: 0.15rem;
  }
  .kinds button {
    min-height: 1.6rem;
    white-space: nowrap;
  }
  label.switch {
    display: inline-flex;
    gap: 0.3rem;
    align-items: center;
    color: var(--hand);
    cursor: pointer;
  }
  label.switch input {
    accent-color: var(--hand);
    margin: 0;
  }
  @media print {
    label.switch {
      color: inherit;
    }
  }
`
