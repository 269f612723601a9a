import type { Io } from '../present/io.js';
import { type ManualSection, manualPage } from '../present/manual.js';
import { commandTable } from './commandTable.js';
import type { WritingOptions } from './options.js';
import { deliver, Exit } from './session.js';

/** The day on which the sections below were last gone through; what stands in tables is always of today. */
const DATE = '2026-11-25';

const BEFORE: readonly ManualSection[] = [
  {
    title: 'Description',
    paragraphs: [
      'dewledger reads the exported logs of home-built temperature and humidity loggers. It tells what is wrong ' +
        'with a log, how hot, cold and damp it got day by day, for how many hours water could condense on a ' +
        'surface and how sure that is, and writes a clean file.',
      'A LOG is a file (gzip is unpacked), a quoted pattern, or - for standard input. Without one, the logs are ' +
        'those of the site file. Data go to standard output, everything else to standard error. Hours that ' +
        'nobody saw are unknown, not dry.',
    ],
  },
];

const AFTER: readonly ManualSection[] = [
  {
    title: 'Exit status',
    entries: [
      ['0', 'Done, nothing at or above --fail-on.'],
      ['1', 'Done, findings at or above --fail-on.'],
      ['2', 'The work could not be done, or not all of it.'],
    ],
  },
  {
    title: 'Environment',
    entries: [
      ['DEWLEDGER_SITE', 'The site file, where --site does not name one.'],
      ['DEWLEDGER_ZONE', 'The zone, where --zone does not name one.'],
      ['NO_COLOR, FORCE_COLOR, CLICOLOR_FORCE, TERM', 'Whether there is colour, where no option says.'],
      ['COLUMNS', 'The width of a terminal that does not tell its own.'],
      ['LC_ALL, LC_CTYPE, LANG', 'Whether the terminal shows UTF-8; ASCII otherwise.'],
    ],
  },
  {
    title: 'Files',
    entries: [
      ['./dewledger.toml', 'The site file, where none is named.'],
      ['~/.config/dewledger/site.toml', 'The site file, where that is not there either ($XDG_CONFIG_HOME).'],
    ],
  },
  {
    title: 'Cautions',
    paragraphs: [
      'The figures are estimates from one small sensor, no alarm and no proof that a place is dry or safe. Damp ' +
        'and mains electricity kill: if water has reached sockets, chargers or a fuse board, keep out and call an ' +
        'electrician. If you see or smell mould, act, whatever the figures say.',
    ],
  },
];

/** Writes the manual page. */
export async function runManual(options: Pick<WritingOptions, 'output'>, io: Io): Promise<Exit> {
  await deliver([manualPage(commandTable(io), DATE, BEFORE, AFTER)], options, io);
  return Exit.done;
}
