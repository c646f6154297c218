import { css } from 'lit'

/** The printed sheet: the drawings first, then the numbers, the findings and the cautions, on A4. */
export const printedStyle = css`
  @media print {
    :host,
    :host([sheet]) {
      color-scheme: light;
      display: block;
      height: auto;
      min-height: 0;
    }
    header {
      padding: 0 0 2mm;
    }
    header button,
    header label,
    header .gap,
    figcaption label,
    figcaption button,
    .spoken,
    .drop {
      display: none;
    }
    main,
    .strip {
      print-color-adjust: exact;
    }
    main {
      display: grid;
      grid-template: 54mm 56mm auto auto auto auto 1fr auto auto / minmax(0, 1.1fr) minmax(0, 1fr);
      grid-template-areas:
        'section top'
        'section map'
        'exit density'
        'retention density'
        'margin density'
        'margin graft'
        'emergence graft'
        'place place'
        'findings findings';
      gap: 3mm 5mm;
      padding: 0;
    }
    .strip,
    .strip > .numbers,
    .group {
      display: contents;
    }
    .section {
      height: auto;
      padding: 0;
      margin: 0;
    }
    .strip > :not(.numbers) {
      height: auto;
      overflow: visible;
    }
    alv-exit {
      grid-area: exit;
    }
    alv-retention {
      grid-area: retention;
    }
    alv-emergence {
      grid-area: emergence;
    }
    alv-graft {
      grid-area: graft;
    }
    .tabs,
    .screen {
      display: none;
    }
    .place {
      display: grid;
      grid-template-columns: 1.1fr 1fr;
      gap: 2mm 5mm;
    }
    alv-margin {
      grid-area: margin;
    }
    .density {
      grid-area: density;
    }
    .calibrate:not([open]) {
      display: none;
    }
    alv-findings {
      grid-area: findings;
    }
    figure,
    .map,
    alv-exit,
    alv-retention,
    alv-emergence,
    alv-graft,
    .place {
      break-inside: avoid;
    }
    .notice {
      margin: 0 0 2mm;
    }
    alv-title-block {
      margin: 3mm 0 0;
      break-inside: avoid;
    }
  }
`
