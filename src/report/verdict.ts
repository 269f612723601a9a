import type { Period } from '../calendar/period.js';
import { formatDuration } from '../calendar/print.js';
import type { Severity } from '../log/finding.js';
import { downTimes } from '../outages/outage.js';
import { HOUR, type Milliseconds } from '../units.js';
import type { Tone, Verdict } from './document.js';
import { isOpen, listed, type Need, rank } from './needs.js';
import type { Page } from './page.js';
import { whenOn } from './when.js';
import { inHours } from './written.js';

export const TONES: Readonly<Record<Severity, Tone>> = { error: 'alarm', warning: 'caution', note: 'note' };

/** The one sentence at the top of the page. */
export function verdictOf(page: Page, needs: readonly Need[]): Verdict {
  const { loggers } = page;
  if (page.span === null || loggers.every(({ reading }) => reading.log.length === 0)) {
    return { kind: 'verdict', tone: 'alarm', text: 'Nothing is known: there is no reading of this time.' };
  }
  const serious = needs.filter(({ severity }) => rank(severity) >= rank('warning'));
  if (serious.length === 0) return { kind: 'verdict', tone: 'good', text: allIsWell(page) };
  const tone = TONES[serious[0]!.severity];
  const clauses = [silent(page, page.span), away(page), unread(serious), odd(serious), wet(page)].filter(
    (clause) => clause !== '',
  );
  const lead = tone === 'alarm' ? 'Not all is well' : 'Worth a look';
  // what none of them speaks of is told by itself
  return { kind: 'verdict', tone, text: `${lead}: ${clauses.join('; ') || serious[0]!.text}.` };
}

/** From this much on, time of which nothing is known belongs into the sentence. */
const WORTH_TELLING: Milliseconds = HOUR;

function allIsWell({ loggers }: Page): string {
  const all = loggers.length === 1 ? 'the logger' : `all ${loggers.length} loggers`;
  const unknown = Math.max(...loggers.map(({ coverage }) => coverage.unknown ?? 0));
  const rest = unknown < WORTH_TELLING ? '' : `, as far as is known (${inHours(unknown)} are not)`;
  return `All is well: ${all} reported, and no surface was certainly wet${rest}.`;
}

/** Who has not been heard of since. */
function silent({ outages, zone }: Page, span: Period): string {
  const when = whenOn(span, zone);
  const open = outages.outages.filter(isOpen);
  return open.map(({ logger, from }) => `nothing from ${logger} since ${when.at(from)}`).join('; ');
}

function away({ outages, loggers }: Page): string {
  const down = outages.outages.filter((outage) => (outage.deviceDown || outage.dataDown) && !isOpen(outage));
  if (down.length === 0) return '';
  const names = [...new Set(down.map(({ logger }) => logger))];
  const longest = down.reduce((most, each) =>
    downTimes(each).expected > downTimes(most).expected ? each : most,
  );
  const who =
    names.length === loggers.length && names.length > 1 ? `all ${names.length} loggers` : listed(names);
  const length = formatDuration(downTimes(longest).expected);
  if (down.length === 1) return `${who} away for ${length}`;
  return `${who} away ${down.length} times, for ${length} at most${names.length > 1 ? ` (${longest.logger})` : ''}`;
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
  const hours = `${inHours(sum.expected)} (certainly ${inHours(sum.certain)})`;
  const others = certain.length - 1;
  return `${surface.name} wet for ${hours}${others === 0 ? '' : `, and ${others} other surface${others === 1 ? '' : 's'}`}`;
}
