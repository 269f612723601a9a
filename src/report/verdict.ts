import type { Severity } from '../log/finding.js';
import { HOUR, type Milliseconds } from '../units.js';
import type { Tone, Verdict } from './document.js';
import { type Need, rank } from './needs.js';
import type { Page } from './page.js';
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
  const [worst] = serious as [Need];
  const tone = TONES[worst.severity];
  const lead = tone === 'alarm' ? 'Not all is well' : 'Worth a look';
  const others = serious.filter(({ brief }) => brief !== worst.brief).length;
  const more = others === 0 ? '' : `; and ${others} other thing${others === 1 ? '' : 's'} below`;
  return { kind: 'verdict', tone, text: `${lead}: ${worst.brief}${more}.` };
}

/** From this much on, time of which nothing is known belongs into the sentence. */
const WORTH_TELLING: Milliseconds = HOUR;

function allIsWell({ loggers }: Page): string {
  const all = loggers.length === 1 ? 'the logger' : `all ${loggers.length} loggers`;
  const unknown = Math.max(...loggers.map(({ coverage }) => coverage.unknown ?? 0));
  const rest = unknown < WORTH_TELLING ? '' : `, as far as is known (${inHours(unknown)} are not)`;
  return `All is well: ${all} reported, and no surface was certainly wet${rest}.`;
}
