import { formatDuration } from '../calendar/print.js';
import { fixed } from '../figures.js';
import type { Severity } from '../log/finding.js';
import { downTimes } from '../outages/outage.js';
import { HOUR } from '../units.js';
import type { Tone, Verdict } from './document.js';
import { listed, type Need, rank } from './needs.js';
import type { Page } from './page.js';

export const TONES: Readonly<Record<Severity, Tone>> = { error: 'alarm', warning: 'caution', note: 'note' };

/** The one sentence at the top of the page. */
export function verdictOf(page: Page, needs: readonly Need[]): Verdict {
  const { loggers } = page;
  if (page.span === null || loggers.every(({ reading }) => reading.log.length === 0)) {
    return { kind: 'verdict', tone: 'alarm', text: 'Nothing is known: there is no reading of this time.' };
  }
  const serious = needs.filter(({ severity }) => rank(severity) >= rank('warning'));
  const all = loggers.length === 1 ? 'the logger' : `all ${loggers.length} loggers`;
  if (serious.length === 0) {
    return {
      kind: 'verdict',
      tone: 'good',
      text: `All is well: ${all} reported, and no surface was certainly wet.`,
    };
  }
  const tone = TONES[serious[0]!.severity];
  const clauses = [stillAway(serious), away(page), unread(serious), odd(serious), wet(page)].filter(
    (clause) => clause !== '',
  );
  const lead = tone === 'alarm' ? 'Not all is well' : 'Worth a look';
  return { kind: 'verdict', tone, text: `${lead}: ${clauses.join('; ')}.` };
}

function stillAway(needs: readonly Need[]): string {
  const names = [...new Set(needs.filter(({ isOpen }) => isOpen).flatMap(({ loggers }) => loggers))];
  return names.length === 0 ? '' : `${listed(names)} still silent at the end`;
}

function away({ outages, loggers }: Page): string {
  const down = outages.outages.filter(({ deviceDown, dataDown }) => deviceDown || dataDown);
  if (down.length === 0) return '';
  const names = [...new Set(down.map(({ logger }) => logger))];
  const longest = down.reduce((most, each) =>
    downTimes(each).expected > downTimes(most).expected ? each : most,
  );
  const who =
    names.length === loggers.length && names.length > 1 ? `all ${names.length} loggers` : listed(names);
  const times = down.length === 1 ? 'once' : `${down.length} times`;
  const length = formatDuration(downTimes(longest).expected);
  return `${who} away ${times}, ${down.length === 1 ? '' : `at most `}for ${length}${names.length > 1 ? ` (${longest.logger})` : ''}`;
}

function unread(needs: readonly Need[]): string {
  const count = needs.filter(({ about }) => about === 'input').length;
  return count === 0 ? '' : `${count} input${count === 1 ? '' : 's'} could not be read`;
}

function odd(needs: readonly Need[]): string {
  const names = [
    ...new Set(needs.filter(({ about }) => about === 'finding').flatMap(({ loggers }) => loggers)),
  ];
  return names.length === 0 ? '' : `odd values or lines from ${listed(names)}`;
}

/** The surface that was wet for longest for certain, and how many others were. */
function wet({ loggers }: Page): string {
  const certain = loggers
    .flatMap(({ damp }) => damp.surfaces)
    .flatMap(({ surface, condensation: [sum] }) =>
      sum === undefined || sum.certain === 0 ? [] : [{ surface, sum }],
    )
    .toSorted((a, b) => b.sum.certain - a.sum.certain);
  const [most] = certain;
  if (most === undefined) return '';
  const { surface, sum } = most;
  const hours = `${fixed(sum.expected / HOUR, 1)} h (certainly ${fixed(sum.certain / HOUR, 1)} h)`;
  const others = certain.length - 1;
  return `${surface.name} wet for ${hours}${others === 0 ? '' : `, and ${others} other surface${others === 1 ? '' : 's'}`}`;
}
