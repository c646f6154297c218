import type { RetentionFinding, RetentionWay, Sourced } from './retention-result.js'

const PRACTICE = 'common practice'
const said = (text: string, source: string): Sourced => ({ text, source })

/**
 * What speaks for and against each way of holding a crown wherever it stands, both in the same number of words: the
 * evidence is split by outcome and recommends none.
 */
export const RETENTION_STATEMENTS: Readonly<Record<RetentionWay, Pick<RetentionFinding, 'for' | 'against'>>> =
  {
    'screw-straight': {
      for: [
        said('It can be unscrewed again, and there is no cement.', PRACTICE),
        said(
          'Fewer technical and biological events than with cement in 73 articles.',
          'Wittneben 2014, IJOMI 29(Suppl):84 (the direction from memory)',
        ),
        said(
          'Bone loss over 2 mm: 0 %, of cemented single crowns 2.8 %.',
          'Sailer 2012, COIR 23(Suppl 6):163 (figures from memory)',
        ),
      ],
      against: [
        said(
          'A visible hole: zirconia incisors broke at 610 instead of 888 N.',
          'J Dent Res Dent Clin Dent Prospects 2016, PMC5025220',
        ),
        said('Screws had come loose in 8.7 % within 4 years.', 'PLoS One 2018, PMC5798777'),
        said(
          'Technical events in 24.4 %, of cemented single crowns in 11.9 %.',
          'Sailer 2012, COIR 23(Suppl 6):163 (figures from memory)',
        ),
      ],
    },
    'screw-angled': {
      for: [
        said('It can be unscrewed again, and the hole lies behind.', PRACTICE),
        said(
          'Removal torque after 35 Ncm: 31.16 straight, 32.07 at 10 deg, 30.08 at 20 deg.',
          'J Prosthodont 2020, PMID 31560132',
        ),
        said(
          'After 250 000 cycles no difference between 0, 10 and 20 deg.',
          'dental thesis AD1186363: 13.5, 12.6 and 13.2 of 20 Ncm',
        ),
      ],
      against: [
        said(
          'Removal torque changed linearly with the angle, and screw heads wore most at 25 deg.',
          'J Funct Biomater 2023 14:124, 5 a group; that it fell is presumed',
        ),
        said('Evidence over many years is lacking.', 'Rasaie 2022, Eur J Dent 16:488'),
        said(
          'Pre-angled abutments lost 40.1 % of torque at 25 deg after load, straight ones 23.5 %.',
          'El-Sheikh 2018, IJID 4:39 (angled abutments, not angled channels)',
        ),
      ],
    },
    cemented: {
      for: [
        said('Any axis will do, and no hole weakens the crown.', PRACTICE),
        said(
          'Survival after 5 years 96.03 % against 95.55 % screwed, no difference.',
          'Wittneben 2014, IJOMI 29(Suppl):84',
        ),
        said('Less marginal bone loss, by 0.19 mm, over 8989 fixtures.', 'JPD 2016, S0022-3913(15)00564-8'),
      ],
      against: [
        said('It is hard to take off again when a screw loosens.', PRACTICE),
        said('Excess cement was found at 34 of 42 diseased fixtures.', 'Wilson 2009, J Periodontol 80:1388'),
        said(
          'Cement that stays unseen rises with the depth of its line.',
          'Linkevicius 2011 and 2013 (from memory)',
        ),
      ],
    },
  }
