import type { Assumed } from '../reading/logs.js';

/** What the reader took for granted about an input, in words. */
export function assumedInWords(assumed: Assumed): string {
  return Object.entries(assumed)
    .filter(([, value]) => value !== null)
    .map(([key, value]) => `${key.replaceAll('_', ' ')} ${inWords(value)}`)
    .join(', ');
}

function inWords(value: unknown): string {
  if (typeof value !== 'string') return JSON.stringify(value);
  return value === '\t' ? 'tab' : value === ' ' ? 'blank' : value;
}
