import { excerpt } from '../errors.js';

/** The way from the top of a TOML document to a value; places in an array count from 0. */
export type KeyPath = readonly (string | number)[];

const BARE_KEY = /^[\w-]+$/;

/** A key path as people write it, places in an array counted from 1: `logger[2].sensor`. */
export function pathText(path: KeyPath): string {
  let text = '';
  for (const step of path) {
    if (typeof step === 'number') text += `[${step + 1}]`;
    else text += (text === '' ? '' : '.') + (BARE_KEY.test(step) ? step : `"${excerpt(step)}"`);
  }
  return text;
}
