import { readFileSync } from 'node:fs';
import type { Instant } from '../../src/units.js';

/** Zones with every kind of oddity, and plain ones. */
export const ZONES = [
  'UTC',
  '+05:30',
  '-03:30',
  'Europe/London',
  'America/New_York',
  'America/St_Johns', // put its clocks back at 00:01, to the day before
  'America/Sao_Paulo', // put its clocks forward at midnight
  'America/Havana', // puts its clocks back to midnight
  'America/Noronha', // a summer time of one week
  'Africa/Casablanca', // leaves its summer time for Ramadan
  'Asia/Kathmandu',
  'Asia/Gaza', // changes twice within days
  'Australia/Lord_Howe', // changes by 30 min
  'Pacific/Apia', // skipped a day
  'Pacific/Kwajalein', // skipped a day
  'Antarctica/Troll', // changes by 2 h
];

export interface Change {
  readonly zone: string;
  readonly at: Instant;
  /** RFC 3339 with the offset that ends and the one that begins. */
  readonly before: string;
  readonly after: string;
}

/** Changes of offset from the reference file. */
export function changes(): Change[] {
  return readFileSync(new URL('../reference/zone_changes.csv', import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'))
    .slice(1)
    .map((line) => {
      const [zone, at, before, after] = line.split(',') as [string, string, string, string];
      return { zone, at: utc(at), before, after };
    });
}

/** An instant written in full in UTC, `2025-10-26T01:00:00Z`. */
export function utc(text: string): Instant {
  const instant = new Date(text).getTime();
  if (new Date(instant).toISOString().replace('.000Z', 'Z') !== text) throw new Error(`no instant: ${text}`);
  return instant;
}
