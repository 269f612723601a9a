import type { Tone } from '../report/document.js';

/**
 * The colours of the page in daylight and at night. `palette.test.ts` computes that everything
 * written in them can be read (WCAG 2.2 AA) and that tones and lines stay apart for eyes that lack
 * one kind of cone.
 */
export interface Palette {
  /** What the page lies on, and what is written on. */
  readonly desk: string;
  readonly paper: string;
  readonly ink: string;
  readonly muted: string;
  /** Thin lines of the table and behind curves; the two lines of the margin. */
  readonly hairline: string;
  readonly margin: string;
  /** How far a day of the calendar is filled, and the lines over what is not known of it. */
  readonly water: string;
  readonly hatch: string;
  readonly tones: Readonly<Record<Tone, string>>;
  /** In the order of a chart's lines; a fifth begins anew, thinner. */
  readonly lines: readonly [string, string, string, string];
}

export const DAYLIGHT: Palette = {
  desk: '#f3ecdb',
  paper: '#fcf9f1',
  ink: '#1c2a33',
  muted: '#56606a',
  hairline: '#d9d2c0',
  margin: '#c4685a',
  water: '#bcdcdc',
  hatch: '#b3ac9c',
  tones: {
    good: '#0a7480',
    note: '#40478d',
    caution: '#825a00',
    alarm: '#7d1a18',
    unknown: '#686359',
    plain: '#1c2a33',
  },
  lines: ['#b3591a', '#1768c4', '#1f3620', '#8c678b'],
};

export const NIGHT: Palette = {
  desk: '#10171b',
  paper: '#192329',
  ink: '#ece5d3',
  muted: '#a9b1ae',
  hairline: '#36434a',
  margin: '#a3574c',
  water: '#1d525b',
  hatch: '#5a6468',
  tones: {
    good: '#45cddd',
    note: '#7ba3ec',
    caution: '#f2b84b',
    alarm: '#e57a5f',
    unknown: '#989690',
    plain: '#ece5d3',
  },
  lines: ['#e0803f', '#6f90ec', '#d8ecbf', '#ab84a4'],
};
