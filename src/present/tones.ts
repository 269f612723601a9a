import type { Tone } from '../report/document.js';
import type { Paint, Palette } from './terminal.js';

/** How a thing is meant, as a word: what every writer shows beside whatever colour it has. */
export const TONE_WORDS: Readonly<Record<Tone, string>> = {
  good: 'well',
  note: 'note',
  caution: 'caution',
  alarm: 'alarm',
  unknown: 'unknown',
  plain: '',
};

export function paintOf(tone: Tone, palette: Palette): Paint {
  switch (tone) {
    case 'good':
      return palette.good;
    case 'caution':
      return palette.caution;
    case 'alarm':
      return palette.alarm;
    case 'note':
    case 'unknown':
      return palette.faint;
    case 'plain':
      return (text) => text;
  }
}
