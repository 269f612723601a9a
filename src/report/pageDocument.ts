import { CHECKS } from '../audit/checks.js';
import { explain } from '../errors.js';
import { assumedInWords } from './assumed.js';
import { DAMP_CAUTIONS, MAINS_CAUTION } from './dampReport.js';
import type { Document, Part, Section } from './document.js';
import { type Need, needsOf, rank } from './needs.js';
import { AVAILABILITY_HEADINGS, availabilityCells, outagesLegend } from './outagesReport.js';
import type { Page } from './page.js';
import { stateStrips } from './pageCharts.js';
import { loggerPart } from './pageLoggerPart.js';
import { TONES, verdictOf } from './verdict.js';
import { spanInWords, whenOn } from './when.js';

/** The words of a page, in the order in which they are read. */
export function pageDocument(page: Page): Document {
  const { span, zone, zoneFrom, place, loggers, outages } = page;
  const needs = needsOf(page);
  const zoned = `clocks of ${zone.name} (${zoneFrom})`;
  return {
    title: place ?? 'Temperature and humidity',
    subtitle: span === null ? zoned : `${spanInWords(span, zone)}, ${zoned}`,
    parts: [
      verdictOf(page, needs),
      needsPart(needs),
      ...(span === null
        ? []
        : loggers.map((logger, i) => loggerPart(logger, i + 1, outages.outages, whenOn(span, zone), zone))),
      ...outagesPart(page),
      {
        kind: 'section',
        id: 'cautions',
        title: 'Cautions',
        parts: DAMP_CAUTIONS.map((text) => ({ kind: 'caution', text })),
      },
      assumedPart(page),
      methodPart(page),
      madePart(page),
    ],
  };
}

function needsPart(needs: readonly Need[]): Section {
  const serious = needs.filter(({ severity }) => rank(severity) >= rank('warning'));
  const notes = needs.filter(({ severity }) => severity === 'note');
  const items = (some: readonly Need[]): Part => ({
    kind: 'items',
    // what is to be done about several in a row is said once, behind the last of them
    items: some.map(({ severity, text, advice }, i) => ({
      tone: TONES[severity],
      text,
      ...(some[i + 1]?.advice === advice ? {} : { more: advice }),
    })),
  });
  const parts: Part[] = [serious.length === 0 ? { kind: 'paragraph', text: 'Nothing.' } : items(serious)];
  if (serious.some(({ about }) => about === 'surface')) parts.push({ kind: 'caution', text: MAINS_CAUTION });
  if (notes.length > 0) {
    parts.push({
      kind: 'section',
      id: 'notes',
      title: `Small things (${notes.length})`,
      folded: true,
      parts: [items(notes)],
    });
  }
  return { kind: 'section', id: 'needs', title: 'What needs a hand', parts };
}

function outagesPart(page: Page): Section[] {
  const { outages } = page;
  const strips = stateStrips(page);
  if (strips === null) return [];
  const parts: Part[] = [strips];
  parts.push({
    kind: 'grid',
    caption: 'Availability',
    columns: AVAILABILITY_HEADINGS.map((heading, i) => ({
      heading: heading || 'logger',
      align: i === 0 ? 'left' : 'right',
    })),
    rows: outages.loggers.flatMap(availabilityCells),
  });
  parts.push(...outagesLegend(outages).map((text): Part => ({ kind: 'paragraph', text })));
  return [{ kind: 'section', id: 'outages', title: 'Outages', parts }];
}

function assumedPart({ sources, loggers, nameOf }: Page): Section {
  const rows = sources.map(({ source, assumed }) => [nameOf(source), assumedInWords(assumed)]);
  return {
    kind: 'section',
    id: 'assumed',
    title: 'What was assumed',
    folded: true,
    parts: [
      {
        kind: 'facts',
        facts: loggers.map(({ id, damp: { accuracy, accuracySource } }) => ({
          name: id,
          value: `sensor good to ± ${accuracy.temperature} K and ± ${accuracy.humidity} %`,
          more:
            accuracySource === 'assumed' ? 'assumed: state it in the site file' : 'as the site file states',
        })),
      },
      {
        kind: 'grid',
        caption: 'How the inputs were read',
        columns: [
          { heading: 'input', align: 'left' },
          { heading: 'taken for granted', align: 'left' },
        ],
        rows,
      },
    ],
  };
}

/** How the figures come about, and where the rules are from. */
const METHODS: readonly string[] = [
  'Between two neighbouring good readings a value is taken to run in a straight line; time without such a pair is unknown, not dry and not well.',
  'Means are weighted by time. Extremes are readings that no check has taken out.',
  'A surface counts as wet while it is as cold as the dew point of the air, or colder (below 0 °C the frost point). Certain is what holds whatever the error of the sensor within its accuracy, possible what holds for some error within it.',
  'Time of wetness: above 80 % and above 0 °C (ISO 9223). Wood: equilibrium moisture of the USDA Wood Handbook, FPL-GTR-282, with a lag. Mould index: Hukka and Viitanen (1999). 30-day mean above 80 %: ASHRAE 160 of 2009.',
  'Flags of values follow IOC Manuals and Guides 54, volume 3.',
];

function methodPart({ loggers }: Page): Section {
  const met = new Set(loggers.flatMap(({ audit }) => audit.findings.map(({ check }) => check)));
  const checks = CHECKS.filter(({ name }) => met.has(name));
  const parts: Part[] = METHODS.map((text) => ({ kind: 'paragraph', text }));
  if (checks.length > 0) {
    parts.push({
      kind: 'grid',
      caption: 'The checks that found something',
      columns: ['check', 'method', 'source'].map((heading) => ({ heading, align: 'left' })),
      rows: checks.map(({ name, method, source }) => [name, method, source]),
    });
  }
  return { kind: 'section', id: 'method', title: 'Method and sources', folded: true, parts };
}

function madePart({ made, failures, nameOf }: Page): Section {
  return {
    kind: 'section',
    id: 'made',
    title: 'How this page was made',
    folded: true,
    parts: [
      {
        kind: 'paragraph',
        text: `By ${made.program}${made.options.length > 0 ? `, with ${made.options.join(' ')}` : ''}. The same inputs and options give the same page.`,
      },
      {
        kind: 'grid',
        caption: 'Inputs',
        columns: [
          { heading: 'input', align: 'left' },
          { heading: 'SHA-256', align: 'left' },
        ],
        rows: made.inputs.map(({ path, sha256 }) => [nameOf(path), sha256 ?? 'not kept']),
      },
      ...failures.map((failure): Part => ({ kind: 'paragraph', text: `Not read: ${explain(failure)}` })),
    ],
  };
}
